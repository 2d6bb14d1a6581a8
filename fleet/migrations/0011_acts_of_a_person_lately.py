"""What a person did lately, by index: a page asks whether the same said again is another one."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0010_acts'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='act',
            index=models.Index(fields=['done_by', 'done_at'], name='acts_of_a_person_lately'),
        ),
    ]
