"""Whatever changes a fact that many due items rest on raises a stamp, whoever writes it.

Due items keep the stamps they were reckoned from: where they differ, the item is stale. Stamps of
aircraft and programmes are raised here, once per statement; those of units by the act that tells
``fleet.house.signals.facts_changed``, since a load of 100,000 units must not write each of them twice.
Kept apart so that the first migration and those it stands for say it once.
"""

from django.db import migrations

# table -> the aircraft of its changed rows
OF_AIRCRAFT = {
    "fleet_utilisationreading": "SELECT aircraft_id FROM changed",
    "fleet_plannedrate": "SELECT aircraft_id FROM changed",
    "fleet_check": "SELECT aircraft_id FROM changed",
    "fleet_aircraftstatus": "SELECT aircraft_id FROM changed",
    "fleet_aircraftstation": "SELECT aircraft_id FROM changed",
    "scheduling_programmeofaircraft": "SELECT aircraft_id FROM changed",
    "fleet_positionstate": "SELECT p.aircraft_id FROM changed c JOIN fleet_aircraftposition p ON p.id = c.position_id",
    "scheduling_workdone": (
        "SELECT coalesce(c.aircraft_id, p.aircraft_id) FROM changed c"
        " LEFT JOIN fleet_aircraftposition p ON p.id = c.position_id WHERE c.unit_id IS NULL"
    ),
    "scheduling_extension": (
        "SELECT coalesce(c.aircraft_id, p.aircraft_id) FROM changed c"
        " LEFT JOIN fleet_aircraftposition p ON p.id = c.position_id WHERE c.unit_id IS NULL"
    ),
}
# table -> the programmes of its changed rows
OF_PROGRAMME = {
    "scheduling_limit": "SELECT programme_id FROM changed",
    "scheduling_limitreset": "SELECT l.programme_id FROM changed c JOIN scheduling_limit l ON l.id = c.limit_id",
    "scheduling_limit_part_numbers": "SELECT l.programme_id FROM changed c JOIN scheduling_limit l ON l.id = c.limit_id",
    "scheduling_clock": "SELECT l.programme_id FROM changed c JOIN scheduling_limit l ON l.id = c.limit_id",
    "scheduling_amount": (
        "SELECT l.programme_id FROM changed c JOIN scheduling_clock k ON k.id = c.clock_id"
        " JOIN scheduling_limit l ON l.id = k.limit_id"
    ),
}
RAISE = """
CREATE FUNCTION {table}_raises_stamp() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    UPDATE {owner} SET facts_stamp = nextval('facts_stamp') WHERE id IN ({rows});
    RETURN NULL;
END $$;
CREATE TRIGGER insert_raises_stamp AFTER INSERT ON {table}
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION {table}_raises_stamp();
CREATE TRIGGER update_raises_stamp AFTER UPDATE ON {table}
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION {table}_raises_stamp();
CREATE TRIGGER delete_raises_stamp AFTER DELETE ON {table}
    REFERENCING OLD TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION {table}_raises_stamp();
"""
FORGET = """
DROP TRIGGER insert_raises_stamp ON {table};
DROP TRIGGER update_raises_stamp ON {table};
DROP TRIGGER delete_raises_stamp ON {table};
DROP FUNCTION {table}_raises_stamp();
"""
OWNERS = [
    *((table, "fleet_aircraft", rows) for table, rows in OF_AIRCRAFT.items()),
    *((table, "scheduling_programme", rows) for table, rows in OF_PROGRAMME.items()),
]
STAMPS = [
    migrations.RunSQL(
        "CREATE SEQUENCE IF NOT EXISTS facts_stamp", "DROP SEQUENCE IF EXISTS facts_stamp"
    ),
    *(
        migrations.RunSQL(
            RAISE.format(table=table, owner=owner, rows=rows), FORGET.format(table=table)
        )
        for table, owner, rows in OWNERS
    ),
]

# What was decided about a pairing is never changed: a later ruling says otherwise. The function is
# that of the ledger's own promises.
RULINGS_GROW = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON scheduling_pairingruling
    FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_change();
"""
RULINGS = [
    migrations.RunSQL(
        RULINGS_GROW, "DROP TRIGGER the_ledger_only_grows ON scheduling_pairingruling"
    )
]

# Works done, extensions and dispositions only grow: not even the tables' owner changes one unnoticed.
WORK_TABLES = ("scheduling_workdone", "scheduling_extension", "scheduling_disposition")
WORK_REFUSES = """
CREATE FUNCTION scheduling_refuse_work_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'What was recorded is never changed or deleted: record what corrects it.'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'the_ledger_only_grows', TABLE = TG_TABLE_NAME;
END $$;
"""
WORK_GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION scheduling_refuse_work_change();
"""
WORKS = [
    migrations.RunSQL(WORK_REFUSES, "DROP FUNCTION scheduling_refuse_work_change()"),
    *(
        migrations.RunSQL(
            WORK_GROWS.format(table=table), f"DROP TRIGGER the_ledger_only_grows ON {table}"
        )
        for table in WORK_TABLES
    ),
]

# What was planned, and why, is never changed: a later decision says otherwise.
PLANNED_GROW = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_change();
"""
PLANNED = [
    migrations.RunSQL(
        PLANNED_GROW.format(table=table), f"DROP TRIGGER the_ledger_only_grows ON {table}"
    )
    for table in (
        "scheduling_planningrule",
        "scheduling_lifeprice",
        "scheduling_openingprice",
        "scheduling_placement",
    )
]
