from django.db import migrations

from fleet.migrations import _only_grow


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0017_who_planned_a_check'),
    ]

    operations = _only_grow.CHECKS
