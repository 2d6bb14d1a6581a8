"""What belongs to a swap is never changed: a later row says what became of it."""

from django.db import migrations

from equipment.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [("equipment", "0011_swaps")]

    operations = _promises.SWAPS
