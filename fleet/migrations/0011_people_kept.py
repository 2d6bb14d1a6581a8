"""What is done about people is kept; where they are signed in; whose token did an act."""

import django.contrib.postgres.fields
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from fleet.migrations import _only_grow


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0010_acts'),
        ('sessions', '0001_initial'),
    ]

    operations = [
        migrations.AddField(
            model_name='act',
            name='token',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='acts_done', to='fleet.apitoken'),
        ),
        migrations.AddField(
            model_name='apitoken',
            name='acts',
            field=django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=40), blank=True, default=list, size=None),
        ),
        migrations.AddField(
            model_name='apitoken',
            name='made_by',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='load',
            name='token',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.apitoken'),
        ),
        migrations.AddField(
            model_name='user',
            name='link_made_at',
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.CreateModel(
            name='Operator',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=80)),
                ('is_only', models.BooleanField(default=True, editable=False, unique=True)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('is_only', True)), name='there_is_one_operator')],
            },
        ),
        migrations.CreateModel(
            name='PersonAct',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('act', models.CharField(choices=[('founded', 'made, the first of the house'), ('made', 'made'), ('invited', 'invited'), ('linked', 'one-time link made'), ('password_chosen', 'password chosen by the link'), ('password_changed', 'own password changed'), ('changed', 'changed'), ('deactivated', 'deactivated'), ('reactivated', 'active again'), ('sessions_ended', 'sessions ended'), ('token_made', 'token made'), ('token_withdrawn', 'token withdrawn')], max_length=24)),
                ('words', models.CharField(blank=True, max_length=400)),
                ('act_id', models.UUIDField(blank=True, db_index=True, null=True)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='acts_about', to=settings.AUTH_USER_MODEL)),
                ('token', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.apitoken')),
            ],
        ),
        migrations.CreateModel(
            name='SignedIn',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('began_at', models.DateTimeField()),
                ('address', models.CharField(blank=True, max_length=45)),
                ('browser', models.CharField(blank=True, max_length=200)),
                ('session', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='signed_in', to='sessions.session')),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='signed_in', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        *_only_grow.PEOPLE,
    ]
