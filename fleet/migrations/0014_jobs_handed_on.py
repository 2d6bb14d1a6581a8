"""Open jobs handed from one person to another, and that these rows only grow."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from fleet.migrations import _only_grow


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0013_own_spreadsheets'),
    ]

    operations = [
        migrations.AlterField(
            model_name='personact',
            name='act',
            field=models.CharField(choices=[('founded', 'made, the first of the house'), ('made', 'made'), ('invited', 'invited'), ('linked', 'one-time link made'), ('password_chosen', 'password chosen by the link'), ('password_changed', 'own password changed'), ('changed', 'changed'), ('deactivated', 'deactivated'), ('reactivated', 'active again'), ('sessions_ended', 'sessions ended'), ('token_made', 'token made'), ('token_withdrawn', 'token withdrawn'), ('jobs_handed_on', 'open jobs handed on'), ('jobs_taken_on', 'open jobs taken over')], max_length=24),
        ),
        migrations.CreateModel(
            name='JobHandedOn',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('act_id', models.UUIDField(db_index=True)),
                ('job', models.CharField(db_index=True, max_length=40)),
                ('words', models.CharField(blank=True, max_length=200)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('giver', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs_given', to=settings.AUTH_USER_MODEL)),
                ('taker', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='jobs_taken', to=settings.AUTH_USER_MODEL)),
                ('token', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.apitoken')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('giver', models.F('taker')), _negated=True), name='a_job_is_handed_to_somebody_else'), models.UniqueConstraint(fields=('act_id', 'job'), name='an_act_hands_a_job_on_once')],
            },
        ),
        *_only_grow.JOBS_HANDED_ON,
    ]
