from django.db import migrations, models


class Migration(migrations.Migration):
    """What does not conform is found without reading the whole ledger."""

    dependencies = [
        ("equipment", "0017_any_sort_of_step"),
    ]

    operations = [
        migrations.AddIndex(
            model_name="movement",
            index=models.Index(
                condition=models.Q(("is_conforming", False)),
                fields=["unit"],
                name="movement_to_reconcile",
            ),
        ),
    ]
