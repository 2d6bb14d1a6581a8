from django.db import migrations, models

#: Proposals made before have one row of each unit.
KEYS = "UPDATE scheduling_offeredunit SET key = unit_id::text"


class Migration(migrations.Migration):

    dependencies = [
        ('equipment', '0034_bins'),
        ('scheduling', '0029_hangars'),
    ]

    operations = [
        migrations.RemoveConstraint(model_name='offeredunit', name='one_offer_of_a_unit'),
        migrations.AddField(
            model_name='offeredunit',
            name='key',
            field=models.CharField(default='', max_length=40),
            preserve_default=False,
        ),
        migrations.AddField(model_name='offeredunit', name='pieces', field=models.PositiveIntegerField(default=1)),
        migrations.AddField(
            model_name='proposedneed',
            name='pieces',
            field=models.PositiveIntegerField(default=1, help_text='Of a lot: how many come off.'),
        ),
        migrations.AddField(
            model_name='proposedneed',
            name='piece',
            field=models.PositiveIntegerField(default=0, help_text='Which of several that come off, each a need of its own; 0: one need.'),
        ),
        migrations.AddField(
            model_name='pairingruling',
            name='piece',
            field=models.PositiveIntegerField(default=0, help_text='Which of several that come off; 0: one need.'),
        ),
        migrations.RunSQL(KEYS, migrations.RunSQL.noop),
        migrations.AddIndex(
            model_name='offeredunit',
            index=models.Index(fields=['run', 'unit'], name='offers_of_a_unit'),
        ),
        migrations.AddConstraint(
            model_name='offeredunit',
            constraint=models.UniqueConstraint(fields=('run', 'key'), name='one_offer_of_a_unit_or_its_pieces'),
        ),
    ]
