"""An aircraft may leave the fleet; a line of its status may be replaced by a later one of the same day."""

import django.db.models.deletion
from django.db import migrations, models

STATUSES = [
    ("in_service", "in service"),
    ("parked", "parked"),
    ("in_check", "in check"),
    ("leased_out", "leased out"),
    ("left", "left the fleet"),
]


class Migration(migrations.Migration):
    dependencies = [("fleet", "0014_jobs_handed_on")]

    operations = [
        migrations.AlterField(
            "aircraft",
            "status",
            models.CharField(choices=STATUSES, default="in_service", max_length=12),
        ),
        migrations.AlterField(
            "aircraftstatus", "status", models.CharField(choices=STATUSES, max_length=12)
        ),
        migrations.AddField(
            "aircraftstatus",
            "replaces",
            models.OneToOneField(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="replaced_by",
                to="fleet.aircraftstatus",
            ),
        ),
        migrations.RemoveConstraint("aircraftstatus", "one_status_of_an_aircraft_from_a_day"),
        migrations.AddConstraint(
            "aircraftstatus",
            models.UniqueConstraint(
                condition=models.Q(replaces=None),
                fields=("aircraft", "from_on"),
                name="one_status_of_an_aircraft_from_a_day",
            ),
        ),
    ]
