"""Authorisations are never changed: an early end is a row of its own."""

from django.db import migrations

GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION fleet_refuse_authorisation_change();
"""
MAKE = """
CREATE FUNCTION fleet_refuse_authorisation_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'An authorisation is never changed or deleted: record its end, or another one.'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'the_ledger_only_grows', TABLE = TG_TABLE_NAME;
END $$;
"""
TABLES = ("fleet_authorisation", "fleet_authorisationend")


class Migration(migrations.Migration):
    dependencies = [("fleet", "0003_authorisations")]

    operations = [
        migrations.RunSQL(MAKE, "DROP FUNCTION fleet_refuse_authorisation_change()"),
        *(
            migrations.RunSQL(
                GROWS.format(table=table), f"DROP TRIGGER the_ledger_only_grows ON {table}"
            )
            for table in TABLES
        ),
    ]
