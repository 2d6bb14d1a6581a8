"""What was decided about a pairing is never changed: a later ruling says otherwise."""

from django.db import migrations

# The function is that of the ledger's own promises (equipment 0004).
GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON scheduling_pairingruling
    FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_change();
"""


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0006_proposals"), ("equipment", "0014_stores_only_grow")]

    operations = [
        migrations.RunSQL(GROWS, "DROP TRIGGER the_ledger_only_grows ON scheduling_pairingruling")
    ]
