import django.contrib.postgres.fields
import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("equipment", "0002_initial"),
        ("fleet", "0001_initial"),
        ("scheduling", "0001_initial"),
    ]

    operations = [
        migrations.AddField(
            model_name="recomputerun",
            name="unit_ids",
            field=django.contrib.postgres.fields.ArrayField(
                base_field=models.BigIntegerField(), blank=True, null=True, size=None
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="aircraft",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="due_items",
                to="fleet.aircraft",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="check_planned",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="fleet.check",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="id",
            field=models.BigIntegerField(
                help_text="Of its subject and limit.", primary_key=True, serialize=False
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="kind",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="fleet.kind",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="limit",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="scheduling.limit",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="line_unit",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="equipment.unit",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="part_number",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="equipment.partnumber",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="position",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="fleet.aircraftposition",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="station",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="fleet.station",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="unit",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="due_items",
                to="equipment.unit",
            ),
        ),
        migrations.AlterField(
            model_name="dueitem",
            name="work",
            field=models.ForeignKey(
                db_constraint=False,
                db_index=False,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="scheduling.work",
            ),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(fields=["band", "sort_on", "id"], name="due_by_urgency"),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(fields=["sort_on", "id"], name="due_by_date"),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(
                fields=["aircraft", "band", "sort_on", "id"], name="due_of_aircraft"
            ),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(fields=["station", "band", "sort_on", "id"], name="due_of_station"),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(fields=["kind", "band", "sort_on", "id"], name="due_of_kind"),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(
                fields=["part_number", "band", "sort_on", "id"], name="due_of_part_number"
            ),
        ),
        migrations.AddIndex(
            model_name="dueitem",
            index=models.Index(fields=["work", "band", "sort_on", "id"], name="due_of_work"),
        ),
    ]
