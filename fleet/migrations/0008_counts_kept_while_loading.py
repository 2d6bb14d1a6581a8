"""While a load is open nobody notes how many rows its tables hold: ``_counts``."""

from django.db import migrations

from fleet.migrations import _counts


class Migration(migrations.Migration):
    dependencies = [("fleet", "0007_measures_that_count")]

    operations = [*_counts.KEPT]
