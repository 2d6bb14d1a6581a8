"""Works done, extensions and dispositions only grow: not even the tables' owner changes one unnoticed."""

from django.db import migrations

TABLES = ("scheduling_workdone", "scheduling_extension", "scheduling_disposition")
REFUSES = """
CREATE FUNCTION scheduling_refuse_work_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'What was recorded is never changed or deleted: record what corrects it.'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'the_ledger_only_grows', TABLE = TG_TABLE_NAME;
END $$;
"""
GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION scheduling_refuse_work_change();
"""


class Migration(migrations.Migration):
    dependencies = [("scheduling", "0009_words_of_the_engine")]

    operations = [
        migrations.RunSQL(REFUSES, "DROP FUNCTION scheduling_refuse_work_change()"),
        *(
            migrations.RunSQL(
                GROWS.format(table=table), f"DROP TRIGGER the_ledger_only_grows ON {table}"
            )
            for table in TABLES
        ),
    ]
