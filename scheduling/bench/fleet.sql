-- An invented fleet of :units units on :crafts aircraft as of :day, four due items to a unit.
-- Written by the tables' owner into a scratch database, past the acts: it is nobody's record.

INSERT INTO fleet_user (id, password, is_superuser, username, first_name, last_name, email, is_staff, is_active, date_joined, roles)
VALUES (1, '', false, 'bench', 'Bench', 'Mark', '', false, true, now(), '{controller,administrator,stores}');

INSERT INTO fleet_station (id, code, name, time_zone, is_maintenance_base, abilities)
SELECT s, 'ST' || s, 'Station ' || s, (ARRAY['UTC', 'Europe/Madrid', 'UTC', 'Asia/Tokyo'])[s], s = 1, '[]'
FROM generate_series(1, 4) s;

INSERT INTO fleet_kind (id, code, name, chapter)
SELECT k, 'KIND' || k, 'Kind ' || k, '' FROM generate_series(1, 10) k;

INSERT INTO fleet_measure (id, code, name, unit, counted_on)
VALUES (1, 'FH', 'flight hours', 'minutes', 'aircraft'), (2, 'FC', 'flight cycles', 'count', 'aircraft');

INSERT INTO fleet_aircrafttype (id, code, name, plan) VALUES (1, 'TYPE', 'Type', '{}');

INSERT INTO fleet_typeposition (id, code, name, zone, access_group, side, capacity, x_cm, y_cm, aircraft_type_id, kind_id)
SELECT p, 'P' || p, 'Position ' || p, '', 'ACCESS ' || (p - 1) / 4, 'left', 1, p, 0, 1, (p - 1) % 10 + 1 FROM generate_series(1, 400) p;

INSERT INTO fleet_aircraft (id, registration, msn, status, facts_stamp, aircraft_type_id, station_id, manufactured_on)
SELECT a, 'Q' || lpad(a::text, 6, '0'), 'M' || a, CASE WHEN a % 25 = 0 THEN 'parked' ELSE 'in_service' END, 0, 1,
       a % 4 + 1, DATE :day - 3000
FROM generate_series(1, :crafts) a;

INSERT INTO fleet_aircraftposition (id, is_active, aircraft_id, type_position_id)
SELECT (a - 1) * 400 + p, true, a, p FROM generate_series(1, :crafts) a, generate_series(1, 400) p;

INSERT INTO fleet_check (name, sort, starts_on, ends_on, abilities, slot, people, is_cancelled, aircraft_id, station_id)
SELECT 'C' || c, 'check', DATE :day - 30 + c * 75 + a % 60, DATE :day - 24 + c * 75 + a % 60, '[]', '', 0, false, a, 1
FROM generate_series(1, :crafts) a, generate_series(1, 8) c;

INSERT INTO fleet_utilisationreading (read_at, is_date_only, total, source, is_annulment, is_conforming, reasons, act_id, recorded_at, aircraft_id, measure_id)
SELECT ((DATE :day - 7 * w)::timestamp + interval '23:59:59') AT TIME ZONE 'UTC', true,
       CASE m WHEN 1 THEN 480 ELSE 4 END * (4000 - 7 * w), '', false, true, '[]', gen_random_uuid(), now(), a, m
FROM generate_series(1, :crafts) a, generate_series(0, 155) w, generate_series(1, 2) m;

INSERT INTO scheduling_programme (id, code, name, operator, revision, govern_spares, facts_stamp)
VALUES (1, 'PROGRAMME', 'Programme', '', '1', true, 0);

INSERT INTO scheduling_programmeofaircraft (from_on, recorded_at, aircraft_id, programme_id)
SELECT DATE '2010-01-01', now(), a, 1 FROM generate_series(1, :crafts) a;

INSERT INTO scheduling_work (id, code, name, is_done_in_place, certified_by)
VALUES (1, 'OVERHAUL', 'Overhaul', false, '{}'), (2, 'HYDRO', 'Hydrostatic test', false, '{}'), (3, 'LIFE', 'Life limit', false, '{}'), (4, 'INSPECT', 'Inspection', false, '{}');

INSERT INTO scheduling_planningrule (act_id, margin_days, life_price, opening_price, document, stated_at, stated_by_id)
VALUES (gen_random_uuid(), 7, 100, 200, '', now(), 1);

INSERT INTO scheduling_limit (id, code, revision, title, subject, document, document_revision, "when", is_directive, paragraph,
    standards, serials, positions, msns, variation_days, variation_percent, variation_minutes, variation_count,
    next_from_original_due, is_extendable, recorded_at, programme_id, work_id, kind_id)
SELECT (k - 1) * 4 + w, 'L' || k || '-' || w, '1', 'Limit', 'unit', 'Document', '1', 'first', false, '', '[]', '[]', '[]', '[]',
       CASE w WHEN 1 THEN 30 ELSE 0 END, 0, 0, 0, false, false, now(), 1, w, k
FROM generate_series(1, 10) k, generate_series(1, 4) w;

INSERT INTO scheduling_clock (id, limit_id, seq, counts_from, first_from, anchor, runs, store_cap_months, store_cap_each,
    store_before_first_fitting, measure, rounds, month_only_stamp, compares, runs_out)
SELECT (l.id - 1) * 2 + c.seq, l.id, c.seq, c.counts_from, c.first_from, 'release', c.runs, c.cap, false, c.cap IS NOT NULL,
       c.measure, c.rounds, 'end', 'after', c.runs_out
FROM scheduling_limit l JOIN (VALUES
    (1, 1, 'last_done', 'manufacture', 'store_up_to_cap', 12, 'months', 'day', 'may_not_fly'),
    (2, 1, 'last_done', 'manufacture', 'always', NULL, 'months', 'month_end', 'until_emptied'),
    (3, 1, 'manufacture', '', 'always', NULL, 'months', 'day', 'end_of_life'),
    (3, 2, 'manufacture', '', 'always', NULL, 'FH', 'day', 'end_of_life'),
    (4, 1, 'last_done', 'this_installation', 'always', NULL, 'FC', 'day', 'may_not_fly'),
    (4, 2, 'last_done', 'manufacture', 'always', NULL, 'days', 'day', 'may_not_fly')
) AS c (work, seq, counts_from, first_from, runs, cap, measure, rounds, runs_out) ON c.work = l.work_id;

INSERT INTO scheduling_amount (clock_id, seq, value, "when", age_basis, method, standard)
SELECT k.id, 1, CASE k.measure WHEN 'FH' THEN 60 * 24000 WHEN 'FC' THEN 6000 WHEN 'days' THEN 900
       ELSE (ARRAY[48, 60, 240])[l.work_id] END, 'any', 'at_work', '', ''
FROM scheduling_clock k JOIN scheduling_limit l ON l.id = k.limit_id;

INSERT INTO equipment_maker (id, code, name) VALUES (1, 'MAKER', 'Maker');

INSERT INTO equipment_partnumber (id, number, description, removed, dangerous_goods, is_lot, kind_id, maker_id)
SELECT n, 'PN-' || n, 'Part ' || n, 'line', '', false, (n - 1) % 10 + 1, 1 FROM generate_series(1, 20) n;

INSERT INTO equipment_place (id, sort, aircraft_position_id, capacity, name)
SELECT id, 'aircraft', id, 1, '' FROM fleet_aircraftposition;
INSERT INTO equipment_place (id, sort, station_id, name)
SELECT :crafts * 400 + s, 'store', s, '' FROM generate_series(1, 4) s;

-- Unit u sits in position u while there are positions; it came into a store first.
CREATE TEMP TABLE made AS
SELECT u AS id, (u - 1) % 10 + 1 + (u / 10) % 2 * 10 AS part, u <= :crafts * 400 AS is_fitted, u % 4 + 1 AS station,
       (u - 1) / 400 + 1 AS craft,
       DATE :day - (u::bigint * 37 % 5000 + 300)::int AS manufactured,
       DATE :day - (u::bigint * 13 % 1200 + 250)::int AS received,
       DATE :day - (u::bigint * 13 % 1200 + 250)::int + u % 200 + 5 AS installed,
       (ARRAY['UTC', 'Europe/Madrid', 'UTC', 'Asia/Tokyo'])[u % 4 + 1] AS zone
FROM generate_series(1, :units) u;

INSERT INTO equipment_unit (id, serial_number, manufactured_on, manufactured_precision, quantity, note, facts_stamp,
    recorded_at, original_part_id, part_number_id, place_id, aircraft_id)
SELECT id, 'S' || id, manufactured, 'day', 1, '', 0, now(), part, part,
       CASE WHEN is_fitted THEN id ELSE :crafts * 400 + station END, CASE WHEN is_fitted THEN craft END
FROM made;

INSERT INTO equipment_movement (id, sort, happened_at, precision, zone, day_order, log_page, document, reason, quantity,
    is_conforming, reasons, act_id, recorded_at, to_place_id, unit_id)
SELECT id * 2 - 1, 'received', received::timestamp AT TIME ZONE zone, 'day', zone, 0, '', '', '', 1, true, '[]'::jsonb,
       gen_random_uuid(), now(), :crafts * 400 + station, id FROM made
UNION ALL
SELECT id * 2, 'installed', installed::timestamp AT TIME ZONE zone, 'day', zone, 0, '', '', '', 1, true, '[]'::jsonb,
       gen_random_uuid(), now(), id, id FROM made WHERE is_fitted;

INSERT INTO equipment_stay (unit_id, place_id, capacity, quantity, valid, known, begun_by_id, ended_by_id)
SELECT id, :crafts * 400 + station, 0, 1,
       tstzrange(received::timestamp AT TIME ZONE zone, CASE WHEN is_fitted THEN installed::timestamp AT TIME ZONE zone END),
       tstzrange(now(), NULL), id * 2 - 1, CASE WHEN is_fitted THEN id * 2 END FROM made
UNION ALL
SELECT id, id, 1, 1, tstzrange(installed::timestamp AT TIME ZONE zone, NULL), tstzrange(now(), NULL), id * 2, NULL
FROM made WHERE is_fitted;

INSERT INTO equipment_fittedperiod (unit_id, aircraft_id, root_position_id, place_id, line_unit_id, depth, from_at)
SELECT id, craft, id, id, id, 0, installed::timestamp AT TIME ZONE zone FROM made WHERE is_fitted;

INSERT INTO equipment_lifestatement (stated_on, total, since, source, quality, recorded_at, measure_id, unit_id)
SELECT received, CASE m WHEN 1 THEN id % 3000 * 60 ELSE id % 2000 END, 'new', 'bench', 'certificate', now(), m, id
FROM made, generate_series(1, 2) m;

INSERT INTO scheduling_workdone (limit_code, done_on, precision, method, result, who, document, certificate, is_annulment,
    act_id, recorded_at, work_id, unit_id)
SELECT '', greatest(manufactured, DATE :day - (id::bigint * 7 % CASE w WHEN 1 THEN 1100 ELSE 900 END)::int), 'day', '',
       'passed', '', '', '', false, gen_random_uuid(), now(), w, id
FROM made, (VALUES (1), (2), (4)) AS works (w) WHERE id % 100 <> w;
