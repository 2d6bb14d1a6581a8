"""Acts by the id that their sender made, so that one is done once and its content is compared."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from fleet.migrations import _only_grow


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0009_loads_by_tokens'),
    ]

    operations = [
        migrations.CreateModel(
            name='Act',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('act_id', models.UUIDField()),
                ('act', models.CharField(max_length=40)),
                ('digest', models.CharField(max_length=64)),
                ('done_at', models.DateTimeField()),
                ('sender_at', models.DateTimeField(null=True)),
                ('done_by', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('act_id', 'act'), name='an_act_is_done_once_under_its_id')],
            },
        ),
        *_only_grow.ACTS,
    ]
