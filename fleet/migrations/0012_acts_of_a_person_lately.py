"""What a person did lately, by index; totals that are right though far beyond the usual use."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0011_people_kept'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='act',
            index=models.Index(fields=['done_by', 'done_at'], name='acts_of_a_person_lately'),
        ),
        migrations.AddField(
            model_name='utilisationreading',
            name='is_confirmed',
            field=models.BooleanField(db_default=False, default=False, help_text='Right, though far beyond the usual use: somebody looked.'),
        ),
    ]
