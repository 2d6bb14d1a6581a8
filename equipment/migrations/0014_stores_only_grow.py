"""What is signed or ordered in the stores is never changed: a later row says what became of it."""

from django.db import migrations

from equipment.migrations import _promises


class Migration(migrations.Migration):
    dependencies = [("equipment", "0013_stores")]

    operations = _promises.STORES
