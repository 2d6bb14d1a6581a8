"""What was counted of a day, and judged of a work, is never changed: the database itself holds it."""

from django.db import migrations

from fleet.migrations import _only_grow

ONLY_GROWS = _only_grow._only_grow(
    "scheduling_refuse_count_change",
    "What was counted or judged once is never changed or deleted.",
    "scheduling_daycounted",
    "scheduling_workjudged",
)


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0030_pieces_of_lots")]

    operations = [*ONLY_GROWS]
