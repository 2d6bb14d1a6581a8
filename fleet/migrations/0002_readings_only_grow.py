"""Readings are never changed or deleted: a later one corrects them."""

from django.db import migrations

from fleet.migrations import _only_grow


class Migration(migrations.Migration):
    dependencies = [("fleet", "0001_initial")]

    operations = _only_grow.READINGS
