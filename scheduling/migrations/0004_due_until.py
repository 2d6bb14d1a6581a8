
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('scheduling', '0003_facts_stamps'),
    ]

    operations = [
        migrations.RemoveField(
            model_name='dueitem',
            name='left_days',
        ),
        migrations.AddField(
            model_name='dueitem',
            name='until_on',
            field=models.DateField(help_text='The last day inside the variation.', null=True),
        ),
    ]
