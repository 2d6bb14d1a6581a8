from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0013_days_to_come_and_originals")]

    operations = [
        migrations.AddField(
            model_name="limit",
            name="reason",
            field=models.CharField(
                blank=True,
                db_default="",
                default="",
                help_text="Why it was revised.",
                max_length=200,
            ),
        ),
    ]
