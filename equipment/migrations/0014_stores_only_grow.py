"""What is signed or ordered in the stores is never changed: a later row says what became of it."""

from django.db import migrations

TABLES = (
    "equipment_incominginspection", "equipment_hold", "equipment_holdend", "equipment_shoporder",
    "equipment_shoppromise", "equipment_shopreturn",
)  # fmt: skip
# The function is that of the ledger's own promises (0004).
GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_change();
"""
FREE = "DROP TRIGGER the_ledger_only_grows ON {table}"


class Migration(migrations.Migration):
    dependencies = [("equipment", "0013_stores")]

    operations = [
        migrations.RunSQL(GROWS.format(table=table), FREE.format(table=table)) for table in TABLES
    ]
