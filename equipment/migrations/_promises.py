"""What the database itself holds: one unit in one place, no more in a position than it holds, no
unit inside itself, and a ledger that only grows. The names are the sentences.

Loops and counts are checked per statement, over all of its rows at once, so that a load of 100,000
units costs three queries and not 100,000. Two nestings at once see each other because the check
takes a lock that is held until commit. Kept apart so that the first migration and those it stands
for say it once.
"""

from django.contrib.postgres.operations import BtreeGistExtension
from django.db import migrations

# The ledger's key of advisory locks, shared with equipment.keeping.locks.
NESTING_LOCK = 7_204_410

LEDGER_TABLES = (
    "equipment_movement",
    "equipment_correction",
    "equipment_unitmerge",
    "equipment_sighting",
    "equipment_lifestatement",
    "equipment_certificate",
    "equipment_identification",
    "equipment_title",
)

STAYS = """
ALTER TABLE equipment_stay
    ADD CONSTRAINT a_stay_lasts CHECK (
        NOT isempty(valid) AND NOT isempty(known) AND NOT lower_inf(valid) AND NOT lower_inf(known)
    ),
    ADD CONSTRAINT a_stay_knows_what_its_place_holds
        FOREIGN KEY (place_id, capacity) REFERENCES equipment_place (id, holds)
        DEFERRABLE INITIALLY DEFERRED,
    ADD CONSTRAINT a_lot_is_no_larger_than_its_position CHECK (capacity = 0 OR quantity <= capacity),
    ADD CONSTRAINT a_unit_is_in_one_place_at_a_time
        EXCLUDE USING gist (unit_id WITH =, valid WITH &&, known WITH &&)
        DEFERRABLE INITIALLY DEFERRED,
    ADD CONSTRAINT a_position_holds_no_more_than_its_places
        EXCLUDE USING gist (place_id WITH =, valid WITH &&, known WITH &&) WHERE (capacity = 1)
        DEFERRABLE INITIALLY DEFERRED;
"""
NO_STAYS = """
ALTER TABLE equipment_stay
    DROP CONSTRAINT a_position_holds_no_more_than_its_places,
    DROP CONSTRAINT a_unit_is_in_one_place_at_a_time,
    DROP CONSTRAINT a_lot_is_no_larger_than_its_position,
    DROP CONSTRAINT a_stay_knows_what_its_place_holds,
    DROP CONSTRAINT a_stay_lasts;
"""

LOOPS = f"""
CREATE FUNCTION equipment_refuse_loops() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE looped bigint;
BEGIN
    IF NOT EXISTS (
        SELECT 1 FROM arrived a JOIN equipment_place p ON p.id = a.place_id WHERE p.sort = 'inside'
    ) THEN
        RETURN NULL;
    END IF;
    PERFORM pg_advisory_xact_lock({NESTING_LOCK});
    WITH RECURSIVE around AS (
        SELECT a.unit_id, coalesce(o.merged_into_id, o.id) AS outer_id, a.valid, a.known, 1 AS depth
        FROM arrived a
        JOIN equipment_place p ON p.id = a.place_id AND p.sort = 'inside'
        JOIN equipment_unit o ON o.id = p.parent_unit_id
        UNION ALL
        SELECT r.unit_id, coalesce(o.merged_into_id, o.id), r.valid * s.valid, r.known * s.known, r.depth + 1
        FROM around r
        JOIN equipment_stay s ON s.unit_id = r.outer_id AND s.valid && r.valid AND s.known && r.known
        JOIN equipment_place p ON p.id = s.place_id AND p.sort = 'inside'
        JOIN equipment_unit o ON o.id = p.parent_unit_id
        WHERE r.outer_id <> r.unit_id AND r.depth < 32
    )
    SELECT unit_id INTO looped FROM around WHERE outer_id = unit_id LIMIT 1;
    IF looped IS NOT NULL THEN
        RAISE EXCEPTION 'Unit % would be inside itself.', looped
            USING ERRCODE = 'exclusion_violation', CONSTRAINT = 'no_unit_is_inside_itself';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER no_unit_is_inside_itself AFTER INSERT ON equipment_stay
    REFERENCING NEW TABLE AS arrived FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_loops();
CREATE TRIGGER no_unit_is_inside_itself_after_change AFTER UPDATE ON equipment_stay
    REFERENCING NEW TABLE AS arrived FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_loops();
"""
NO_LOOPS = """
DROP TRIGGER no_unit_is_inside_itself_after_change ON equipment_stay;
DROP TRIGGER no_unit_is_inside_itself ON equipment_stay;
DROP FUNCTION equipment_refuse_loops();
"""

# A bin of six holds six: at every corner where a stay begins, in validity and in knowledge, the
# quantities that are there are added up.
COUNTS = """
CREATE FUNCTION equipment_refuse_crowds() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE crowded bigint;
BEGIN
    IF NOT EXISTS (SELECT 1 FROM arrived WHERE capacity > 1) THEN
        RETURN NULL;
    END IF;
    PERFORM id FROM equipment_place
        WHERE id IN (SELECT place_id FROM arrived WHERE capacity > 1) ORDER BY id FOR UPDATE;
    WITH present AS (
        SELECT a.id AS stay, a.place_id, a.capacity, s.quantity,
               s.valid * a.valid AS valid, s.known * a.known AS known
        FROM arrived a
        JOIN equipment_stay s ON s.place_id = a.place_id AND s.valid && a.valid AND s.known && a.known
        WHERE a.capacity > 1
    ), corners AS (
        SELECT v.stay, v.at AS valid_at, k.at AS known_at
        FROM (SELECT DISTINCT stay, lower(valid) AS at FROM present) v
        JOIN (SELECT DISTINCT stay, lower(known) AS at FROM present) k USING (stay)
    )
    SELECT p.place_id INTO crowded
    FROM corners c JOIN present p ON p.stay = c.stay AND p.valid @> c.valid_at AND p.known @> c.known_at
    GROUP BY c.stay, c.valid_at, c.known_at, p.place_id, p.capacity
    HAVING sum(p.quantity) > p.capacity LIMIT 1;
    IF crowded IS NOT NULL THEN
        RAISE EXCEPTION 'Place % would hold more than it has places.', crowded
            USING ERRCODE = 'exclusion_violation',
                  CONSTRAINT = 'a_position_holds_no_more_than_its_places';
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER a_position_counts_its_places AFTER INSERT ON equipment_stay
    REFERENCING NEW TABLE AS arrived FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_crowds();
CREATE TRIGGER a_position_counts_its_places_after_change AFTER UPDATE ON equipment_stay
    REFERENCING NEW TABLE AS arrived FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_crowds();
"""
NO_COUNTS = """
DROP TRIGGER a_position_counts_its_places_after_change ON equipment_stay;
DROP TRIGGER a_position_counts_its_places ON equipment_stay;
DROP FUNCTION equipment_refuse_crowds();
"""

# What holds is that the application's account lacks the right. This one tells everybody else.
GROWS = """
CREATE FUNCTION equipment_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'A row of the ledger is never changed or deleted: record a correction that names it.'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'the_ledger_only_grows', TABLE = TG_TABLE_NAME;
END $$;
"""
ONE_GROWS = """
CREATE TRIGGER the_ledger_only_grows BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}
    FOR EACH STATEMENT EXECUTE FUNCTION equipment_refuse_change();
"""

# Scheduling's triggers raise stamps from the same sequence, whichever app is migrated first.
STAMPS = "CREATE SEQUENCE IF NOT EXISTS facts_stamp"


def _only_grow(tables: tuple[str, ...]) -> list[migrations.RunSQL]:
    return [
        migrations.RunSQL(
            ONE_GROWS.format(table=table), f"DROP TRIGGER the_ledger_only_grows ON {table}"
        )
        for table in tables
    ]


LEDGER = [
    BtreeGistExtension(),
    migrations.RunSQL(STAMPS, migrations.RunSQL.noop),
    migrations.RunSQL(STAYS, NO_STAYS),
    migrations.RunSQL(LOOPS, NO_LOOPS),
    migrations.RunSQL(COUNTS, NO_COUNTS),
    migrations.RunSQL(GROWS, "DROP FUNCTION equipment_refuse_change()"),
    *_only_grow(LEDGER_TABLES),
]

# A foreign key asks for each row; these ask once for all rows of a statement. What is named is locked
# as a foreign key locks it, so that nobody deletes it meanwhile.
NAMED = """
CREATE FUNCTION equipment_units_name_parts() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE missing bigint;
BEGIN
    PERFORM FROM equipment_partnumber WHERE id IN (
        SELECT original_part_id FROM changed UNION SELECT part_number_id FROM changed
    ) ORDER BY id FOR KEY SHARE;
    SELECT named.id INTO missing FROM (
        SELECT original_part_id FROM changed UNION SELECT part_number_id FROM changed
    ) named (id) WHERE NOT EXISTS (SELECT FROM equipment_partnumber p WHERE p.id = named.id) LIMIT 1;
    IF FOUND THEN
        RAISE foreign_key_violation USING CONSTRAINT = 'a_unit_is_of_a_part_on_record',
            MESSAGE = format('There is no part number %s on record.', missing);
    END IF;
    PERFORM FROM equipment_modificationstandard WHERE id IN (SELECT standard_id FROM changed)
    ORDER BY id FOR KEY SHARE;
    SELECT named.id INTO missing FROM (
        SELECT DISTINCT standard_id FROM changed WHERE standard_id IS NOT NULL
    ) named (id) WHERE NOT EXISTS (SELECT FROM equipment_modificationstandard s WHERE s.id = named.id) LIMIT 1;
    IF FOUND THEN
        RAISE foreign_key_violation USING CONSTRAINT = 'a_unit_is_at_a_standard_on_record',
            MESSAGE = format('There is no modification standard %s on record.', missing);
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER units_name_parts AFTER INSERT ON equipment_unit
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION equipment_units_name_parts();
CREATE TRIGGER units_name_parts_after_change AFTER UPDATE ON equipment_unit
    REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION equipment_units_name_parts();

CREATE FUNCTION equipment_part_of_units() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT FROM equipment_unit WHERE part_number_id = OLD.id)
       OR EXISTS (SELECT FROM equipment_unit WHERE original_part_id = OLD.id) THEN
        RAISE foreign_key_violation USING CONSTRAINT = 'a_unit_is_of_a_part_on_record',
            MESSAGE = 'Units are of this part number: it stays on record.';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END $$;
CREATE TRIGGER a_part_of_units_stays BEFORE DELETE OR UPDATE OF id ON equipment_partnumber
    FOR EACH ROW EXECUTE FUNCTION equipment_part_of_units();

CREATE FUNCTION equipment_standard_of_units() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT FROM equipment_unit WHERE standard_id = OLD.id) THEN
        RAISE foreign_key_violation USING CONSTRAINT = 'a_unit_is_at_a_standard_on_record',
            MESSAGE = 'Units are at this modification standard: it stays on record.';
    END IF;
    RETURN CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
END $$;
CREATE TRIGGER a_standard_of_units_stays BEFORE DELETE OR UPDATE OF id ON equipment_modificationstandard
    FOR EACH ROW EXECUTE FUNCTION equipment_standard_of_units();
"""
NOT_NAMED = """
DROP TRIGGER a_standard_of_units_stays ON equipment_modificationstandard;
DROP TRIGGER a_part_of_units_stays ON equipment_partnumber;
DROP TRIGGER units_name_parts_after_change ON equipment_unit;
DROP TRIGGER units_name_parts ON equipment_unit;
DROP FUNCTION equipment_standard_of_units();
DROP FUNCTION equipment_part_of_units();
DROP FUNCTION equipment_units_name_parts();
"""

PARTS_ASKED_ONCE = [migrations.RunSQL(NAMED, NOT_NAMED)]

# What belongs to a swap is never changed: a later row says what became of it.
SWAPS = _only_grow(
    (
        "equipment_ruleset", "equipment_steplist", "equipment_step", "equipment_bottlechart",
        "equipment_calibration", "equipment_swap", "equipment_swapmovement", "equipment_stepentry",
        "equipment_signature", "equipment_swapend", "equipment_walkround", "equipment_discrepancy",
        "equipment_settlement", "equipment_openitem", "equipment_openitemclosed", "equipment_unittag",
        "equipment_filling", "equipment_attachment",
    )
)
# What is signed or ordered in the stores likewise.
STORES = _only_grow(
    (
        "equipment_incominginspection", "equipment_hold", "equipment_holdend", "equipment_shoporder",
        "equipment_shoppromise", "equipment_shopreturn",
    )
)
# What a rule of the cabin or of a cylinder said stands, and so does a cylinder's test.
JUDGED = _only_grow(
    (
        "equipment_cabin", "equipment_complementrule", "equipment_cylinderspecification",
        "equipment_requalification",
    )
)

CORRECTED = _only_grow(("equipment_unitcorrection",))
# That what is repeated while an item is open was done stands as it was recorded.
REPEATED = _only_grow(("equipment_repeatactiondone",))

# What was counted, scrapped or sent to another station likewise.
COUNTED = _only_grow(
    (
        "equipment_stocktakescan", "equipment_stocktakesettlement", "equipment_scrapping",
        "equipment_transfer", "equipment_transferreceipt",
    )
)

# What was lent, and what went back, likewise.
OWED = _only_grow(("equipment_loan", "equipment_loanend", "equipment_sentback"))
# That a condemnation was a mistake stands as it was decided.
TAKEN_BACK = _only_grow(("equipment_tagtakenback",))
# Which records were lost, and what was taken instead, likewise.
LOST = _only_grow(("equipment_recordslost",))
# Whose paper it was not, what it cost, which tags were printed and what is to be bought, likewise.
SHELVED = _only_grow(
    (
        "equipment_straypaper", "equipment_unitprice", "equipment_printedtag", "equipment_tagback",
        "equipment_purchaserequest", "equipment_purchasestep",
    )
)
# What was read on a cylinder likewise.
MARKED = _only_grow(("equipment_cylindermarking",))
# Which kinds a bin may hold stands as it was said; a later word counts.
BINS = _only_grow(("equipment_binuse",))

SHOP_DAYS = _only_grow(("equipment_shopdays",))
