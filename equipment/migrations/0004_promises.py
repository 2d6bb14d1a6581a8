"""What the database itself holds of units, places and the ledger."""

from django.db import migrations

from equipment.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [("equipment", "0003_what_places_hold")]

    operations = _promises.LEDGER
