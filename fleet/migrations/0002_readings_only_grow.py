"""Readings are never changed or deleted: a later one corrects them."""

from django.db import migrations

GROWS = """
CREATE FUNCTION fleet_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'A reading is never changed or deleted: record one that corrects it.'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'the_ledger_only_grows', TABLE = TG_TABLE_NAME;
END $$;
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON fleet_utilisationreading
    FOR EACH STATEMENT EXECUTE FUNCTION fleet_refuse_change();
"""
FREE = """
DROP TRIGGER the_ledger_only_grows ON fleet_utilisationreading;
DROP FUNCTION fleet_refuse_change();
"""


class Migration(migrations.Migration):
    dependencies = [("fleet", "0001_initial")]

    operations = [migrations.RunSQL(GROWS, FREE)]
