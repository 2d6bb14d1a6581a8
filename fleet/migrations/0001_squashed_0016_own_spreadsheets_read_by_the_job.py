"""All tables of fleet at once, in a part of the time of the migrations it stands for.

Written from the models as they stand at 0016_own_spreadsheets_read_by_the_job. That both ways end in the same
tables is held by tests/fleet/config/test_migrations.py.
"""

import django.contrib.auth.models
import django.contrib.auth.validators
import django.contrib.postgres.fields
import django.db.models.deletion
import django.utils.timezone
import uuid
from django.conf import settings
from django.db import migrations, models

from fleet.migrations import _counts, _only_grow
from fleet.migrations._at_once import AllAtOnce

TABLES = [
    migrations.CreateModel(
        name='AircraftType',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('code', models.CharField(max_length=24, unique=True)),
            ('name', models.CharField(max_length=80)),
            ('plan', models.JSONField(blank=True, default=dict)),
        ],
    ),
    migrations.CreateModel(
        name='Kind',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('code', models.CharField(max_length=24, unique=True)),
            ('name', models.CharField(max_length=80)),
            ('chapter', models.CharField(blank=True, help_text='Chapter code NN-NN, free data.', max_length=8)),
        ],
    ),
    migrations.CreateModel(
        name='Measure',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('code', models.CharField(max_length=16, unique=True)),
            ('name', models.CharField(max_length=40)),
            ('unit', models.CharField(choices=[('minutes', 'minutes'), ('count', 'count')], max_length=8)),
            ('counted_on', models.CharField(choices=[('aircraft', 'the aircraft'), ('unit', 'the unit')], max_length=8)),
            ('counts', models.CharField(blank=True, choices=[('', 'nothing by itself'), ('filling', 'fillings'), ('inflation', 'inflations')], db_default='', default='', help_text='What of a unit adds one to its total when it is recorded.', max_length=10)),
        ],
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
        name='Station',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('code', models.CharField(max_length=8, unique=True)),
            ('name', models.CharField(max_length=80)),
            ('time_zone', models.CharField(default='UTC', help_text='An IANA zone name.', max_length=40)),
            ('is_maintenance_base', models.BooleanField(default=False)),
            ('abilities', models.JSONField(blank=True, default=list, help_text='Codes of works it is able to do.')),
        ],
    ),
    migrations.CreateModel(
        name='Aircraft',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('registration', models.CharField(max_length=10, unique=True)),
            ('msn', models.CharField(blank=True, help_text="Manufacturer's serial number; empty: not known.", max_length=24, verbose_name='MSN')),
            ('status', models.CharField(choices=[('in_service', 'in service'), ('parked', 'parked'), ('in_check', 'in check'), ('leased_out', 'leased out'), ('left', 'left the fleet')], default='in_service', max_length=12)),
            ('manufactured_on', models.DateField(blank=True, null=True)),
            ('facts_stamp', models.BigIntegerField(default=0)),
            ('aircraft_type', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='aircraft', to='fleet.aircrafttype')),
            ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='aircraft', to='fleet.station')),
        ],
        options={
            'constraints': [models.UniqueConstraint(condition=models.Q(('msn', ''), _negated=True), fields=('aircraft_type', 'msn'), name='one_aircraft_of_this_type_and_msn')],
        },
    ),
    migrations.CreateModel(
        name='Check',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('name', models.CharField(max_length=40)),
            ('sort', models.CharField(choices=[('check', 'check'), ('overnight', 'overnight stop')], default='check', max_length=10)),
            ('starts_on', models.DateField()),
            ('ends_on', models.DateField()),
            ('abilities', models.JSONField(blank=True, default=list, help_text='Codes of works possible there; empty: all.')),
            ('is_cancelled', models.BooleanField(default=False)),
            ('aircraft', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='checks', to='fleet.aircraft')),
            ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.station')),
        ],
        options={
            'constraints': [models.CheckConstraint(condition=models.Q(('ends_on__gte', models.F('starts_on'))), name='a_check_ends_after_it_starts'), models.UniqueConstraint(fields=('aircraft', 'name', 'starts_on'), name='one_check_of_this_name_and_start')],
            'indexes': [models.Index(fields=['aircraft', 'starts_on'], name='check_by_start')],
        },
    ),
    migrations.CreateModel(
        name='TypePosition',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('code', models.CharField(help_text="As on the operator's documents, e.g. D1L-SLIDE.", max_length=32)),
            ('name', models.CharField(max_length=80)),
            ('zone', models.CharField(blank=True, help_text='Aircraft zone number or name.', max_length=16)),
            ('access_group', models.CharField(blank=True, help_text='Opened by the same access.', max_length=24)),
            ('side', models.CharField(choices=[('left', 'left'), ('right', 'right'), ('centre', 'centre')], default='centre', max_length=6)),
            ('capacity', models.PositiveSmallIntegerField(default=1)),
            ('x_cm', models.IntegerField(help_text='Along the fuselage from the nose, centimetres.')),
            ('y_cm', models.IntegerField(help_text='From the centre line, negative is left, centimetres.')),
            ('aircraft_type', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='positions', to='fleet.aircrafttype')),
            ('kind', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.kind')),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('aircraft_type', 'code'), name='one_position_of_this_code_on_a_type'), models.CheckConstraint(condition=models.Q(('capacity__gte', 1)), name='a_position_holds_at_least_one')],
        },
    ),
    migrations.CreateModel(
        name='AircraftPosition',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('is_active', models.BooleanField(default=True)),
            ('aircraft', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='positions', to='fleet.aircraft')),
            ('type_position', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.typeposition')),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('aircraft', 'type_position'), name='one_position_of_an_aircraft_per_layout_position')],
        },
    ),
    migrations.CreateModel(
        name='User',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('password', models.CharField(max_length=128, verbose_name='password')),
            ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
            ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
            ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
            ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
            ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
            ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
            ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
            ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
            ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
            ('roles', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('controller', 'Maintenance controller'), ('stores', 'Stores clerk'), ('technician', 'Technician'), ('inspector', 'Inspector'), ('certifying', 'Certifying staff'), ('auditor', 'Auditor (reads all, changes nothing)'), ('administrator', 'Administrator')], max_length=20), blank=True, default=list, size=None)),
            ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
            ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
            ('home_station', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, to='fleet.station')),
            ('link_made_at', models.DateTimeField(blank=True, null=True)),
        ],
        options={
            'verbose_name': 'user',
            'verbose_name_plural': 'users',
            'abstract': False,
        },
        managers=[
            ('objects', django.contrib.auth.models.UserManager()),
        ],
    ),
    migrations.CreateModel(
        name='AircraftStation',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('from_on', models.DateField()),
            ('recorded_at', models.DateTimeField()),
            ('aircraft', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='stations', to='fleet.aircraft')),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.station')),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('aircraft', 'from_on'), name='one_station_of_an_aircraft_from_a_day')],
        },
    ),
    migrations.CreateModel(
        name='AircraftStatus',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('status', models.CharField(choices=[('in_service', 'in service'), ('parked', 'parked'), ('in_check', 'in check'), ('leased_out', 'leased out'), ('left', 'left the fleet')], max_length=12)),
            ('from_on', models.DateField()),
            ('document', models.CharField(blank=True, max_length=80)),
            ('recorded_at', models.DateTimeField()),
            ('aircraft', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='statuses', to='fleet.aircraft')),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('replaces', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='fleet.aircraftstatus')),
        ],
        options={
            'constraints': [models.UniqueConstraint(condition=models.Q(('replaces', None)), fields=('aircraft', 'from_on'), name='one_status_of_an_aircraft_from_a_day')],
        },
    ),
    migrations.CreateModel(
        name='ApiToken',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('label', models.CharField(max_length=80)),
            ('role', models.CharField(choices=[('controller', 'Maintenance controller'), ('stores', 'Stores clerk'), ('technician', 'Technician'), ('inspector', 'Inspector'), ('certifying', 'Certifying staff'), ('auditor', 'Auditor (reads all, changes nothing)'), ('administrator', 'Administrator')], max_length=20)),
            ('digest', models.CharField(max_length=64, unique=True)),
            ('created_at', models.DateTimeField()),
            ('expires_at', models.DateTimeField(blank=True, null=True)),
            ('withdrawn_at', models.DateTimeField(blank=True, null=True)),
            ('user', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='api_tokens', to=settings.AUTH_USER_MODEL)),
            ('acts', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=40), blank=True, default=list, size=None)),
            ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
        ],
    ),
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
            ('token', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='acts_done', to='fleet.apitoken')),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('act_id', 'act'), name='an_act_is_done_once_under_its_id')],
            'indexes': [models.Index(fields=['done_by', 'done_at'], name='acts_of_a_person_lately')],
        },
    ),
    migrations.CreateModel(
        name='Authorisation',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('number', models.CharField(max_length=40)),
            ('sort', models.CharField(choices=[('licence', 'licence'), ('approval', 'company approval')], max_length=10)),
            ('title', models.CharField(blank=True, help_text='The occupational title.', max_length=80)),
            ('acts', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('sign_step', 'sign off steps'), ('inspect', 'inspect independently'), ('release', 'release')], max_length=12), size=None)),
            ('aircraft_types', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=24), blank=True, default=list, size=None)),
            ('kinds', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=24), blank=True, default=list, size=None)),
            ('stamp', models.CharField(blank=True, help_text='The number on the stamp.', max_length=24)),
            ('from_on', models.DateField()),
            ('until_on', models.DateField(help_text='The last day on which it is good.')),
            ('recorded_at', models.DateTimeField()),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('user', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='authorisations', to=settings.AUTH_USER_MODEL)),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('number', 'from_on'), name='one_authorisation_of_this_number_from_a_day'), models.CheckConstraint(condition=models.Q(('until_on__gte', models.F('from_on'))), name='an_authorisation_lasts_at_least_a_day')],
        },
    ),
    migrations.CreateModel(
        name='AuthorisationEnd',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('ended_on', models.DateField(help_text='The first day on which it is no longer good.')),
            ('reason', models.CharField(max_length=120)),
            ('recorded_at', models.DateTimeField()),
            ('authorisation', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='ended', to='fleet.authorisation')),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
        ],
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
    migrations.CreateModel(
        name='Load',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('key', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
            ('state', models.CharField(choices=[('waiting', 'waiting to be read'), ('reading', 'being read'), ('read', 'read, waiting for your decision'), ('applying', 'being applied'), ('applied', 'applied'), ('refused', 'refused, nothing applied'), ('unreadable', 'could not be read, nothing to decide'), ('failed', 'stopped by a fault, nothing applied')], default='waiting', max_length=10)),
            ('mode', models.CharField(blank=True, choices=[('all_or_nothing', 'all or nothing'), ('good_lines', 'the good lines')], max_length=16)),
            ('dates', models.CharField(blank=True, help_text='How slashed dates are read: day-first or blank.', max_length=10)),
            ('brought_at', models.DateTimeField()),
            ('applied_at', models.DateTimeField(blank=True, null=True)),
            ('tries', models.PositiveSmallIntegerField(default=0, help_text='How often it was begun since a person last asked for it.')),
            ('progress_done', models.PositiveIntegerField(default=0)),
            ('progress_total', models.PositiveIntegerField(default=0)),
            ('progress_words', models.CharField(blank=True, max_length=120)),
            ('accepted', models.PositiveIntegerField(default=0)),
            ('refused', models.PositiveIntegerField(default=0)),
            ('known', models.PositiveIntegerField(default=0)),
            ('fault', models.TextField(blank=True)),
            ('summary', models.JSONField(blank=True, default=list, help_text='Per sheet: name, accepted, refused, known.')),
            ('brought_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('brought_as', models.CharField(blank=True, choices=[('controller', 'Maintenance controller'), ('stores', 'Stores clerk'), ('technician', 'Technician'), ('inspector', 'Inspector'), ('certifying', 'Certifying staff'), ('auditor', 'Auditor (reads all, changes nothing)'), ('administrator', 'Administrator')], help_text='The one role of the token that it came by; blank: all that its person holds.', max_length=20)),
            ('token', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.apitoken')),
            ('beside', models.JSONField(blank=True, default=dict, help_text="An own spreadsheet's next dates beside the reckoned ones.")),
            ('own_said', models.JSONField(blank=True, help_text="What an own spreadsheet's columns and words mean; null: sheets of the template.", null=True)),
        ],
    ),
    migrations.CreateModel(
        name='LoadFile',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('name', models.CharField(max_length=200)),
            ('digest', models.CharField(max_length=64)),
            ('size', models.BigIntegerField()),
            ('path', models.CharField(help_text='Relative to the data folder.', max_length=255)),
            ('load', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='files', to='fleet.load')),
        ],
    ),
    migrations.CreateModel(
        name='LoadLine',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('sheet', models.CharField(max_length=80)),
            ('row', models.PositiveIntegerField()),
            ('outcome', models.CharField(choices=[('refused', 'refused'), ('warning', 'warning')], max_length=10)),
            ('cell', models.CharField(blank=True, max_length=12)),
            ('code', models.CharField(max_length=60)),
            ('message', models.TextField()),
            ('values', models.JSONField(default=dict)),
            ('file', models.ForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='fleet.loadfile')),
            ('load', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='fleet.load')),
        ],
        options={
            'indexes': [models.Index(fields=['load', 'sheet', 'row'], name='load_line_order')],
        },
    ),
    migrations.CreateModel(
        name='Notice',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('words', models.CharField(max_length=300)),
            ('link', models.CharField(blank=True, help_text='An address of this site.', max_length=200)),
            ('at', models.DateTimeField()),
            ('read_at', models.DateTimeField(blank=True, null=True)),
            ('to', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='notices', to=settings.AUTH_USER_MODEL)),
        ],
        options={
            'indexes': [models.Index(fields=['to', 'read_at', 'at'], name='notice_of_person_by_time')],
        },
    ),
    migrations.CreateModel(
        name='OwnMapping',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('name', models.CharField(max_length=80, unique=True)),
            ('said', models.JSONField(blank=True, default=dict)),
            ('headings', models.JSONField(blank=True, default=list)),
            ('kept_at', models.DateTimeField()),
            ('kept_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
        ],
    ),
    migrations.CreateModel(
        name='OwnWorkbook',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('key', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
            ('name', models.CharField(max_length=200)),
            ('digest', models.CharField(max_length=64)),
            ('size', models.BigIntegerField()),
            ('path', models.CharField(help_text='Relative to the data folder.', max_length=255)),
            ('said', models.JSONField(blank=True, default=dict)),
            ('mapping', models.CharField(blank=True, max_length=80)),
            ('brought_at', models.DateTimeField()),
            ('changed_at', models.DateTimeField()),
            ('brought_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('load', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='own_workbooks', to='fleet.load')),
            ('is_reading_asked', models.BooleanField(db_default=False, default=False)),
            ('reading_fault', models.TextField(blank=True, db_default='', default='')),
            ('reading_share', models.SmallIntegerField(db_default=0, default=0, help_text='In percent.')),
            ('reading_words', models.CharField(blank=True, db_default='', default='', max_length=120)),
        ],
    ),
    migrations.CreateModel(
        name='PersonAct',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('act', models.CharField(choices=[('founded', 'made, the first of the house'), ('made', 'made'), ('invited', 'invited'), ('linked', 'one-time link made'), ('password_chosen', 'password chosen by the link'), ('password_changed', 'own password changed'), ('changed', 'changed'), ('deactivated', 'deactivated'), ('reactivated', 'active again'), ('sessions_ended', 'sessions ended'), ('token_made', 'token made'), ('token_withdrawn', 'token withdrawn'), ('jobs_handed_on', 'open jobs handed on'), ('jobs_taken_on', 'open jobs taken over')], max_length=24)),
            ('words', models.CharField(blank=True, max_length=400)),
            ('act_id', models.UUIDField(blank=True, db_index=True, null=True)),
            ('at', models.DateTimeField()),
            ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='acts_about', to=settings.AUTH_USER_MODEL)),
            ('token', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.apitoken')),
        ],
    ),
    migrations.CreateModel(
        name='PlannedRate',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('from_on', models.DateField()),
            ('per_day_milli', models.BigIntegerField(help_text='Minutes or counts per day, times 1000.')),
            ('recorded_at', models.DateTimeField()),
            ('aircraft', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='planned_rates', to='fleet.aircraft')),
            ('measure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.measure')),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('aircraft', 'measure', 'from_on'), name='one_planned_rate_of_a_measure_from_a_day')],
        },
    ),
    migrations.CreateModel(
        name='PositionState',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('state', models.CharField(choices=[('active', 'active'), ('deactivated', 'deactivated'), ('absent', 'not on this aircraft')], max_length=12)),
            ('from_on', models.DateField()),
            ('document', models.CharField(max_length=80)),
            ('recorded_at', models.DateTimeField()),
            ('position', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='states', to='fleet.aircraftposition')),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
        ],
        options={
            'constraints': [models.UniqueConstraint(fields=('position', 'from_on'), name='one_state_of_a_position_from_a_day')],
        },
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
    migrations.CreateModel(
        name='UtilisationReading',
        fields=[
            ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
            ('read_at', models.DateTimeField(help_text='A date alone means the end of that day at the station.')),
            ('is_date_only', models.BooleanField(default=True)),
            ('total', models.BigIntegerField()),
            ('source', models.CharField(blank=True, max_length=80)),
            ('is_annulment', models.BooleanField(default=False, help_text='The corrected reading is withdrawn, not replaced.')),
            ('is_conforming', models.BooleanField(default=True)),
            ('reasons', models.JSONField(blank=True, default=list)),
            ('act_id', models.UUIDField(help_text='Made by the sender; the same act twice is one act.')),
            ('recorded_at', models.DateTimeField()),
            ('aircraft', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='readings', to='fleet.aircraft')),
            ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='corrected_by', to='fleet.utilisationreading')),
            ('measure', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='fleet.measure')),
            ('recorded_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ('is_confirmed', models.BooleanField(db_default=False, default=False, help_text='Right, though far beyond the usual use: somebody looked.')),
        ],
        options={
            'constraints': [models.CheckConstraint(condition=models.Q(('total__gte', 0)), name='a_reading_is_not_negative'), models.CheckConstraint(condition=models.Q(('is_annulment', False), ('corrects__isnull', False), _connector='OR'), name='an_annulled_reading_is_named'), models.CheckConstraint(condition=models.Q(('corrects__isnull', True), models.Q(('corrects', models.F('id')), _negated=True), _connector='OR'), name='a_reading_does_not_correct_itself'), models.UniqueConstraint(fields=('act_id', 'measure'), name='one_reading_of_a_measure_per_act')],
            'indexes': [models.Index(fields=['aircraft', 'measure', 'read_at'], name='reading_by_time')],
        },
    ),
]



class Migration(migrations.Migration):

    initial = True

    replaces = [
        ('fleet', '0001_initial'),
        ('fleet', '0002_readings_only_grow'),
        ('fleet', '0003_authorisations'),
        ('fleet', '0004_authorisations_only_grow'),
        ('fleet', '0005_loads_that_end'),
        ('fleet', '0006_notices'),
        ('fleet', '0007_measures_that_count'),
        ('fleet', '0008_counts_kept_while_loading'),
        ('fleet', '0009_loads_by_tokens'),
        ('fleet', '0010_acts'),
        ('fleet', '0011_people_kept'),
        ('fleet', '0012_acts_of_a_person_lately'),
        ('fleet', '0013_own_spreadsheets'),
        ('fleet', '0014_jobs_handed_on'),
        ('fleet', '0015_left_and_replaced_status'),
        ('fleet', '0016_own_spreadsheets_read_by_the_job'),
    ]

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
        ('sessions', '0001_initial'),
    ]

    operations = [
        AllAtOnce(TABLES),
        *_only_grow.READINGS,
        *_only_grow.AUTHORISATIONS,
        *_counts.KEPT,
        *_only_grow.ACTS,
        *_only_grow.PEOPLE,
        *_only_grow.JOBS_HANDED_ON,
    ]
