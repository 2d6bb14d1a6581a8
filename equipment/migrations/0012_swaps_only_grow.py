"""What belongs to a swap is never changed: a later row says what became of it."""

from django.db import migrations

TABLES = (
    "equipment_ruleset", "equipment_steplist", "equipment_step", "equipment_bottlechart",
    "equipment_calibration", "equipment_swap", "equipment_swapmovement", "equipment_stepentry",
    "equipment_signature", "equipment_swapend", "equipment_walkround", "equipment_discrepancy",
    "equipment_settlement", "equipment_openitem", "equipment_openitemclosed", "equipment_unittag",
    "equipment_filling", "equipment_attachment",
)  # fmt: skip
# The function is that of the ledger's own promises (0004).
GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_change();
"""
FREE = "DROP TRIGGER the_ledger_only_grows ON {table}"


class Migration(migrations.Migration):
    dependencies = [("equipment", "0011_swaps")]

    operations = [
        migrations.RunSQL(GROWS.format(table=table), FREE.format(table=table)) for table in TABLES
    ]
