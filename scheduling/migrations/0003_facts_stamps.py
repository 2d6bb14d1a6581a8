"""Whatever changes a fact that many due items rest on raises a stamp, whoever writes it."""

from django.db import migrations

from scheduling.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [
        ("fleet", "0001_initial"),
        ("scheduling", "0002_due_lists"),
    ]

    operations = _promises.STAMPS
