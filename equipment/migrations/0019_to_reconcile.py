from django.db import migrations, models


class Migration(migrations.Migration):
    """What does not conform is found without reading the whole ledger; a card entered late is a finding; a
    robbery, as a removal, may be of what has no list of steps."""

    dependencies = [
        ("equipment", "0018_judged_where_it_is_acted_on"),
    ]

    operations = [
        migrations.AlterField(
            model_name="discrepancy",
            name="sort",
            field=models.CharField(
                choices=[
                    ("other_unit", "another unit than recorded"),
                    ("no_unit", "no unit where one is recorded"),
                    ("unrecorded_unit", "a unit where none is recorded"),
                    ("unknown_unit", "a unit that is not on record"),
                    ("condition", "its expiry, gauge or pin is not as it should be"),
                    ("nonconforming", "done though it does not conform"),
                    ("tool", "a value of a tool found out of tolerance"),
                    ("late_entry", "entered long after the work"),
                ],
                max_length=16,
            ),
        ),
        migrations.AlterField(
            model_name="signature",
            name="sort",
            field=models.CharField(
                choices=[
                    ("step", "step signed off"),
                    ("inspection", "independent inspection"),
                    ("reinspection", "reinspection by the same person"),
                    ("release", "swap signed off"),
                    ("handed_over", "handed over"),
                    ("taken_over", "taken over"),
                    ("correction", "one fact corrected"),
                ],
                max_length=14,
            ),
        ),
        migrations.RemoveConstraint(model_name="swap", name="a_swap_has_steps_or_a_card"),
        migrations.AddConstraint(
            model_name="swap",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("is_transcribed", True),
                    ("step_list__isnull", False),
                    ("sort__in", ["removal", "robbery"]),
                    _connector="OR",
                ),
                name="a_swap_has_steps_or_a_card",
            ),
        ),
        migrations.AddIndex(
            model_name="movement",
            index=models.Index(
                condition=models.Q(("is_conforming", False)),
                fields=["unit"],
                name="movement_to_reconcile",
            ),
        ),
    ]
