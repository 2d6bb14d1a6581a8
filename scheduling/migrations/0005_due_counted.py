from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("scheduling", "0004_due_until"),
    ]

    operations = [
        migrations.AddField(
            model_name="dueitem",
            name="left_other",
            field=models.BigIntegerField(null=True),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(
                fields=["band", "station", "kind", "work", "part_number", "sort_on"],
                name="due_counted",
            ),
        ),
    ]
