from django.db import migrations

from fleet.migrations import _only_grow

PACKAGES = _only_grow._only_grow(
    "scheduling_refuse_package_change",
    "What was handed over, carried forward, closed or released is never changed or deleted.",
    "scheduling_packagehandover",
    "scheduling_packageitem",
    "scheduling_carriedforward",
    "scheduling_checkclosed",
    "scheduling_checkreleased",
    "scheduling_daytold",
)


class Migration(migrations.Migration):

    dependencies = [
        ('scheduling', '0023_telling'),
        ('fleet', '0018_check_records_only_grow'),
    ]

    operations = PACKAGES
