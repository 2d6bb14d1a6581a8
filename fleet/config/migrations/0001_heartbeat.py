from django.db import migrations, models
from django.db.models.functions import Now


class Migration(migrations.Migration):
    initial = True
    dependencies = []
    operations = [
        migrations.CreateModel(
            name="Heartbeat",
            fields=[
                (
                    "process",
                    models.CharField(max_length=40, primary_key=True, serialize=False),
                ),
                ("beat_at", models.DateTimeField(db_default=Now())),
            ],
            options={"db_table": "house_heartbeat"},
        ),
    ]
