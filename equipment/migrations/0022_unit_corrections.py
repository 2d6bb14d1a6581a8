import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from equipment.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [
        ("equipment", "0021_there_on_or_before"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="UnitCorrection",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("act_id", models.UUIDField(unique=True)),
                ("before", models.JSONField()),
                ("after", models.JSONField()),
                ("reason", models.CharField(max_length=200)),
                ("document", models.CharField(blank=True, max_length=80)),
                ("recorded_at", models.DateTimeField()),
                (
                    "recorded_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrections",
                        to="equipment.unit",
                    ),
                ),
            ],
        ),
        *_promises.CORRECTED,
    ]
