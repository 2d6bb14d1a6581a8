"""What was decided about a pairing is never changed: a later ruling says otherwise."""

from django.db import migrations

from scheduling.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0006_proposals"), ("equipment", "0014_stores_only_grow")]

    operations = _promises.RULINGS
