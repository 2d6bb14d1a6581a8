from django.db import migrations, models


class Migration(migrations.Migration):
    """A band on top of the others, for what is fitted and not serviceable: each other is one further down."""

    dependencies = [
        ("scheduling", "0011_never_later_than_a_total"),
    ]

    operations = [
        migrations.RunSQL(
            "UPDATE scheduling_dueitem SET band = band + 1, flags = flags | CASE"
            " WHEN flags & 256 <> 0 AND aircraft_id IS NOT NULL THEN 16384 ELSE 0 END",
            "UPDATE scheduling_dueitem SET band = greatest(band - 1, 0), flags = flags & 16383",
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(
                condition=models.Q(("flags__gte", 16384)),
                fields=["band", "sort_on", "id"],
                name="due_grounding",
            ),
        ),
    ]
