"""An inspection not accepted, steps that cover others, what is issued by a decision."""

import django.contrib.postgres.fields
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('equipment', '0017_any_sort_of_step'),
    ]

    operations = [
        migrations.AddField(
            model_name='step',
            name='covers',
            field=django.contrib.postgres.fields.ArrayField(base_field=models.PositiveSmallIntegerField(), blank=True, default=list, size=None),
        ),
        migrations.AddField(
            model_name='reservation',
            name='issue_decision',
            field=models.CharField(blank=True, help_text='Who decided, and why, that it is handed over incomplete or with a limit unknown.', max_length=200),
        ),
        migrations.AlterField(
            model_name='signature',
            name='sort',
            field=models.CharField(choices=[('step', 'step signed off'), ('inspection', 'independent inspection'), ('reinspection', 'reinspection by the same person'), ('not_accepted', 'inspected and not accepted'), ('release', 'swap signed off'), ('handed_over', 'handed over'), ('taken_over', 'taken over')], max_length=14),
        ),
    ]
