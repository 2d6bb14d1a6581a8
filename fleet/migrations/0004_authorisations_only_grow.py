"""Authorisations are never changed: an early end is a row of its own."""

from django.db import migrations

from fleet.migrations import _only_grow


class Migration(migrations.Migration):
    dependencies = [("fleet", "0003_authorisations")]

    operations = _only_grow.AUTHORISATIONS
