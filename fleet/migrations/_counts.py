"""While a load is open nobody notes how many rows its tables hold: its own are not seen yet.

PostgreSQL clears away dead rows by itself, those of a load that was read and taken back among them.
If it does so while the next load is open it notes a table of many pages and no rows, and plans all
else that the load asks for a table without rows: whole tables are then read for every row. What
clears away passes over a table that is locked so; whoever only reads or adds rows does not notice.
A note of pages without rows that was made before is forgotten (PostgreSQL 18 can).

The function is the owner's, since the application's account may not lock what it may not change.
"""

from django.db import migrations

KEEP = """
CREATE FUNCTION fleet_keep_counts() RETURNS void LANGUAGE plpgsql
SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE ours oid[];
BEGIN
    SELECT array_agg(oid ORDER BY oid) INTO ours FROM pg_class
    WHERE relkind = 'r' AND relowner = current_user::regrole
      AND relname ~ '^(fleet|equipment|scheduling)_';
    EXECUTE (
        SELECT 'LOCK TABLE ' || string_agg(name::regclass::text, ', ' ORDER BY name)
            || ' IN SHARE UPDATE EXCLUSIVE MODE' FROM unnest(ours) name
    );
    IF to_regprocedure('pg_clear_relation_stats(text, text)') IS NOT NULL THEN
        PERFORM pg_clear_relation_stats(n.nspname::text, c.relname::text)
        FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
        WHERE c.oid = ANY(ours) AND c.reltuples = 0 AND c.relpages > 0;
    END IF;
END $$;
"""

KEPT = [migrations.RunSQL(KEEP, "DROP FUNCTION fleet_keep_counts()")]
