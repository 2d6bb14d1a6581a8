"""Works done, extensions and dispositions only grow: not even the tables' owner changes one unnoticed."""

from django.db import migrations

from scheduling.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0009_words_of_the_engine")]

    operations = [*_promises.WORKS]
