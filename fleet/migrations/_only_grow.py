"""What the database itself holds of the fleet's facts: readings, authorisations and acts only grow.

Kept apart so that the first migration and those it stands for say it once; acts came after both.
"""

from django.db import migrations

GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION {function}();
"""
REFUSES = """
CREATE FUNCTION {function}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '{words}'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'the_ledger_only_grows', TABLE = TG_TABLE_NAME;
END $$;
"""


def _only_grow(function: str, words: str, *tables: str) -> list[migrations.RunSQL]:
    return [
        migrations.RunSQL(
            REFUSES.format(function=function, words=words), f"DROP FUNCTION {function}()"
        ),
        *(
            migrations.RunSQL(
                GROWS.format(table=table, function=function),
                f"DROP TRIGGER the_ledger_only_grows ON {table}",
            )
            for table in tables
        ),
    ]


READINGS = _only_grow(
    "fleet_refuse_change",
    "A reading is never changed or deleted: record one that corrects it.",
    "fleet_utilisationreading",
)
AUTHORISATIONS = _only_grow(
    "fleet_refuse_authorisation_change",
    "An authorisation is never changed or deleted: record its end, or another one.",
    "fleet_authorisation",
    "fleet_authorisationend",
)
ACTS = _only_grow(
    "fleet_refuse_act_change",
    "That an act was done is never changed or deleted.",
    "fleet_act",
)
PEOPLE = _only_grow(
    "fleet_refuse_person_act_change",
    "What was done about a person is never changed or deleted.",
    "fleet_personact",
)
JOBS_HANDED_ON = _only_grow(
    "fleet_refuse_handed_on_change",
    "That a job was handed on is never changed or deleted: hand it on again.",
    "fleet_jobhandedon",
)
CHECKS = _only_grow(
    "fleet_refuse_check_record_change",
    "How a check was planned is never changed or deleted: plan it anew.",
    "fleet_checkrecord",
)
