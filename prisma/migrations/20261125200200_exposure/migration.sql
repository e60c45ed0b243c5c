-- How much each model was dived, month by month: what fault figures are divided by.
--
-- Two million hire lines are ten million uses of components. They are added up once, in the background,
-- up to a mark; a question reads the sums and the few uses after the mark. Sums are never the record:
-- they can be thrown away and added up again, and a test compares them with the uses.

CREATE TABLE exposure_month (
  site_id    uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  model_id   uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  -- The first day of the month.
  month_on   date NOT NULL CHECK (extract(day FROM month_on) = 1),
  water_kind text NOT NULL CHECK (water_kind IN ('sea', 'fresh', 'pool', 'none')),
  dives      bigint NOT NULL CHECK (dives >= 0),
  uses       bigint NOT NULL CHECK (uses >= 0),
  PRIMARY KEY (site_id, model_id, month_on, water_kind)
);

-- One row. Uses up to `rolled_id` are in the sums. Up to `safe_id` none can still appear.
CREATE TABLE exposure_mark (
  the_one   boolean PRIMARY KEY DEFAULT true CHECK (the_one),
  rolled_id bigint NOT NULL DEFAULT 0,
  safe_id   bigint NOT NULL DEFAULT 0 CHECK (safe_id >= rolled_id)
);
INSERT INTO exposure_mark DEFAULT VALUES;

-- Uses get their numbers before they are committed, so a lower number may appear after a higher one. The lock waits for
-- every return that is being recorded, for as long as reading one number takes; whatever is numbered below is there then.
CREATE FUNCTION mark_exposure() RETURNS bigint LANGUAGE plpgsql AS $$
DECLARE v_id bigint;
BEGIN
  LOCK TABLE component_use IN SHARE MODE;
  UPDATE exposure_mark SET safe_id = greatest(safe_id, coalesce((SELECT max(id) FROM component_use), 0)) RETURNING safe_id - rolled_id INTO v_id;
  RETURN v_id;
END $$;

-- Adds at most so many uses to the sums; answers how many are left up to the safe mark.
CREATE FUNCTION roll_exposure(p_at_most int) RETURNS bigint LANGUAGE plpgsql AS $$
DECLARE
  v_mark exposure_mark;
  v_until bigint;
BEGIN
  SELECT * INTO v_mark FROM exposure_mark FOR UPDATE;
  v_until := least(v_mark.safe_id, v_mark.rolled_id + p_at_most);
  INSERT INTO exposure_month (site_id, model_id, month_on, water_kind, dives, uses)
  SELECT h.site_id, c.model_id, date_trunc('month', u.used_on)::date, l.water_kind, sum(u.dives), count(*)
    FROM component_use u JOIN hire_line l ON l.id = u.line_id JOIN hire h ON h.id = l.hire_id JOIN component c ON c.id = u.component_id
   WHERE u.id > v_mark.rolled_id AND u.id <= v_until AND u.used_on IS NOT NULL
   GROUP BY 1, 2, 3, 4
  ON CONFLICT (site_id, model_id, month_on, water_kind) DO UPDATE SET dives = exposure_month.dives + excluded.dives, uses = exposure_month.uses + excluded.uses;
  UPDATE exposure_mark SET rolled_id = v_until;
  RETURN v_mark.safe_id - v_until;
END $$;

-- The sums and what came after them.
CREATE VIEW exposure AS
SELECT site_id, model_id, month_on, water_kind, dives, uses FROM exposure_month
UNION ALL
SELECT h.site_id, c.model_id, date_trunc('month', u.used_on)::date, l.water_kind, u.dives, 1
  FROM component_use u JOIN hire_line l ON l.id = u.line_id JOIN hire h ON h.id = l.hire_id JOIN component c ON c.id = u.component_id
 WHERE u.id > (SELECT rolled_id FROM exposure_mark) AND u.used_on IS NOT NULL;

-- A fault as it counts in figures: what was found counts before what was reported. "confirmed" once a technician has
-- seen or mended it.
CREATE VIEW counted_fault AS
SELECT f.id, f.set_id, s.tag, s.site_id, coalesce(f.found_component, f.component_id) AS component_id, coalesce(f.found_code, f.code) AS code,
       f.severity, f.found_where, f.words, f.reported_at, (f.reported_at AT TIME ZONE t.time_zone)::date AS reported_on,
       (f.confirmed_at IS NOT NULL OR f.outcome IS NOT DISTINCT FROM 'mended') AS confirmed, f.outcome, f.cleared_at, f.line_id,
       c.model_id, c.serial
  FROM fault f JOIN regulator_set s ON s.id = f.set_id JOIN site t ON t.id = s.site_id
  LEFT JOIN component c ON c.id = coalesce(f.found_component, f.component_id);

CREATE INDEX fault_reported ON fault (reported_at);

DO $$
DECLARE f record;
BEGIN
  GRANT SELECT ON exposure_month, exposure_mark, exposure, counted_fault TO hangrail_app;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname IN ('mark_exposure', 'roll_exposure') LOOP
    EXECUTE format('REVOKE ALL ON FUNCTION %s FROM PUBLIC', f.name);
    EXECUTE format('ALTER FUNCTION %s SECURITY DEFINER SET search_path = public, pg_temp', f.name);
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
END $$;
