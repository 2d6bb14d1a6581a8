"""An inspection not accepted, steps that cover others, what is issued by a decision, extended items."""

import django.contrib.postgres.fields
import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('equipment', '0019_to_reconcile'),
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
        migrations.AddField(
            model_name='openitem',
            name='extends',
            field=models.OneToOneField(blank=True, help_text='The item that this one extends, which it closed.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='extended_by', to='equipment.openitem'),
        ),
        migrations.AddField(
            model_name='openitem',
            name='approval',
            field=models.CharField(blank=True, help_text='By what and whom the extension was approved.', max_length=80),
        ),
        migrations.AddConstraint(
            model_name='openitem',
            constraint=models.CheckConstraint(condition=models.Q(('extends__isnull', True), models.Q(('approval', ''), _negated=True), _connector='OR'), name='an_extension_of_an_open_item_is_approved'),
        ),
        migrations.AlterField(
            model_name='signature',
            name='sort',
            field=models.CharField(choices=[('step', 'step signed off'), ('inspection', 'independent inspection'), ('reinspection', 'reinspection by the same person'), ('not_accepted', 'inspected and not accepted'), ('release', 'swap signed off'), ('handed_over', 'handed over'), ('taken_over', 'taken over'), ('correction', 'one fact corrected')], max_length=14),
        ),
    ]
