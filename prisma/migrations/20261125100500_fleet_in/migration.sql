-- A fleet, its counts and its service history, all or nothing. packages/rules has judged every cell;
-- here the rows meet what is already recorded. A row recorded before is passed over, so the same
-- sheet may come in again; a row that contradicts the record is refused with its number.

-- p_rows = [{row, tag, position, kind, maker, model, serial, boughtOn, inUseOn, lastUsedOn, servicedOn, inspectedOn,
--            divesTotal, divesSinceService, minutesSinceService, divesSinceInspection, minutesSinceInspection, taught, facts}]
-- `facts` is the row as judged; it is kept, so that the same sheet is known again. A blank count is unknown, never nought.
CREATE FUNCTION import_fleet(p_who jsonb, p_rows jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_at timestamptz;
  v_clash jsonb;
  v_sets uuid[];
  v_new_sets int;
  v_new_components int;
BEGIN
  PERFORM actor(p_who, 'manager', 'technician');
  PERFORM pg_advisory_xact_lock(hashtextextended('import', 1));
  CREATE TEMP TABLE sheet ON COMMIT DROP AS
  SELECT r.*, NULL::uuid AS model_id, NULL::uuid AS component_id, NULL::uuid AS set_id, false AS is_new
    FROM jsonb_to_recordset(p_rows) AS r(row int, tag text, position text, kind text, maker text, model text, serial text,
      "boughtOn" date, "inUseOn" date, "lastUsedOn" date, "servicedOn" date, "inspectedOn" date, "divesTotal" int,
      "divesSinceService" int, "minutesSinceService" int, "divesSinceInspection" int, "minutesSinceInspection" int, taught boolean, facts jsonb);

  INSERT INTO model (kind, maker, name) SELECT DISTINCT kind, maker, model FROM sheet ON CONFLICT DO NOTHING;
  UPDATE sheet s SET model_id = m.id FROM model m WHERE m.kind = s.kind AND m.maker = s.maker AND m.name = s.model;
  INSERT INTO regulator_set (tag, site_id) SELECT DISTINCT tag, (p_who->>'site')::uuid FROM sheet WHERE tag IS NOT NULL ON CONFLICT (tag) DO NOTHING;
  GET DIAGNOSTICS v_new_sets = ROW_COUNT;
  UPDATE sheet s SET set_id = r.id FROM regulator_set r WHERE r.tag = s.tag;
  UPDATE sheet s SET component_id = c.id FROM component c WHERE c.model_id = s.model_id AND c.serial = s.serial;
  ANALYZE sheet;
  -- Locked before anything is judged: a set must not go out between the question and the fitting.
  v_at := lock_sets(ARRAY(SELECT DISTINCT set_id FROM sheet WHERE component_id IS NULL AND set_id IS NOT NULL));

  -- The sheet says one thing, the record another.
  SELECT jsonb_agg(jsonb_build_object('row', row, 'tag', tag, 'serial', serial, 'code', code)) INTO v_clash FROM (
    SELECT s.row, s.tag, s.serial, 'tag-at-other-site' AS code FROM sheet s JOIN regulator_set r ON r.id = s.set_id WHERE r.site_id <> (p_who->>'site')::uuid
    UNION ALL SELECT s.row, s.tag, s.serial, 'fitted-elsewhere' FROM sheet s WHERE s.component_id IS NOT NULL
      AND NOT EXISTS (SELECT FROM fitting f WHERE f.component_id = s.component_id AND f.until_at IS NULL AND f.set_id = s.set_id AND f.position = s.position)
      AND (s.tag IS NOT NULL OR EXISTS (SELECT FROM fitting f WHERE f.component_id = s.component_id AND f.until_at IS NULL))
    UNION ALL SELECT s.row, s.tag, s.serial, 'set-busy' FROM sheet s WHERE s.component_id IS NULL AND untouchable(s.set_id, (p_who->>'site')::uuid) IS NOT NULL AND s.tag IS NOT NULL
    -- A part without a number cannot be told from one that is there already.
    UNION ALL SELECT s.row, s.tag, s.serial, 'set-recorded' FROM sheet s JOIN regulator_set r ON r.id = s.set_id WHERE s.serial IS NULL AND r.seq > 0
    UNION ALL SELECT s.row, s.tag, s.serial, 'position-taken' FROM sheet s JOIN fitting f ON f.set_id = s.set_id AND f.until_at IS NULL AND f.position = s.position
      WHERE s.component_id IS NULL AND s.position IN ('first-stage', 'primary')
    ORDER BY 1 LIMIT 500) x;
  IF v_clash IS NOT NULL THEN
    RAISE EXCEPTION 'The sheet contradicts the record' USING ERRCODE = 'HR422', DETAIL = v_clash::text;
  END IF;

  SELECT coalesce(array_agg(DISTINCT set_id), '{}') INTO v_sets FROM sheet WHERE component_id IS NULL AND set_id IS NOT NULL;
  UPDATE sheet SET is_new = true, component_id = gen_random_uuid() WHERE component_id IS NULL;
  -- A reading so far: the total when the sheet has one, else what it counts since the last service. Minutes nobody
  -- wrote down are reckoned from the dives. Whole sheets at once: part by part, a large one would take a minute.
  CREATE TEMP TABLE reading ON COMMIT DROP AS
  SELECT s.*, n.dives, m.minutes,
         n.dives - coalesce(s."divesSinceService", n.dives) AS service_dives,
         greatest(0, m.minutes - coalesce(s."minutesSinceService", s."divesSinceService" * t.minutes_per_dive, m.minutes)) AS service_minutes,
         n.dives - coalesce(s."divesSinceInspection", s."divesSinceService", n.dives) AS inspection_dives,
         greatest(0, m.minutes - coalesce(s."minutesSinceInspection", s."divesSinceInspection" * t.minutes_per_dive, s."minutesSinceService", s."divesSinceService" * t.minutes_per_dive, m.minutes)) AS inspection_minutes,
         s."inspectedOn" IS NOT NULL AND (s."servicedOn" IS NULL OR s."inspectedOn" >= s."servicedOn") AS inspected_last
    FROM sheet s JOIN site t ON t.id = (p_who->>'site')::uuid
    CROSS JOIN LATERAL (SELECT greatest(s."divesTotal", s."divesSinceService", s."divesSinceInspection", 0) AS dives) n
    CROSS JOIN LATERAL (SELECT greatest(s."minutesSinceService" + (n.dives - s."divesSinceService") * t.minutes_per_dive, s."minutesSinceInspection",
                                        n.dives * t.minutes_per_dive * (s."minutesSinceService" IS NULL)::int, 0) AS minutes) m
   WHERE s.is_new;
  -- Use since the last service is known when the sheet counts it, when there was no service and the sheet counts
  -- everything, or when the part was never used. Teaching noted in the sheet lies after its last service.
  INSERT INTO component (id, model_id, site_id, serial, bought_on, in_use_on, last_used_on, dives_total, minutes_total, taught_total, counts_known,
                         serviced_on, serviced_dives, serviced_minutes, inspected_on, checked_on, checked_dives, checked_minutes)
  SELECT component_id, model_id, (p_who->>'site')::uuid, serial, "boughtOn", "inUseOn", "lastUsedOn", dives, minutes, coalesce(taught, false)::int,
         "divesSinceService" IS NOT NULL OR ("servicedOn" IS NULL AND ("divesTotal" IS NOT NULL OR "lastUsedOn" IS NULL)),
         "servicedOn", CASE WHEN "servicedOn" IS NULL THEN 0 ELSE service_dives END, CASE WHEN "servicedOn" IS NULL THEN 0 ELSE service_minutes END,
         "inspectedOn", CASE WHEN inspected_last THEN "inspectedOn" ELSE "servicedOn" END,
         CASE WHEN inspected_last THEN inspection_dives WHEN "servicedOn" IS NULL THEN 0 ELSE service_dives END,
         CASE WHEN inspected_last THEN inspection_minutes WHEN "servicedOn" IS NULL THEN 0 ELSE service_minutes END
    FROM reading;
  GET DIAGNOSTICS v_new_components = ROW_COUNT;
  INSERT INTO component_import (component_id, facts, at) SELECT component_id, coalesce(facts, '{}'), v_at FROM reading;
  INSERT INTO component_use (component_id, dives, minutes, taught, estimated, used_on, at)
  SELECT component_id, dives, minutes, coalesce(taught, false), true, "lastUsedOn", v_at FROM reading;
  INSERT INTO component_work (component_id, set_id, kind, done_on, dives_at, minutes_at, taught_at, imported, words, at)
  SELECT component_id, set_id, 'service', "servicedOn", service_dives, service_minutes, 0, true, 'From an imported sheet', v_at FROM reading WHERE "servicedOn" IS NOT NULL
  UNION ALL
  SELECT component_id, set_id, 'inspection', "inspectedOn", inspection_dives, inspection_minutes, 0, true, 'From an imported sheet', v_at FROM reading WHERE "inspectedOn" IS NOT NULL;

  -- Gathered in one pass: looked up set by set, a large sheet would be read thousands of times.
  PERFORM append_entry(g.set_id, 'imported', p_who, v_at, jsonb_build_object('components', g.components))
     FROM (SELECT set_id, jsonb_agg(component_id ORDER BY component_id) AS components FROM sheet WHERE is_new AND set_id IS NOT NULL GROUP BY set_id) g;
  INSERT INTO fitting (set_id, component_id, position, from_seq, from_at)
  SELECT s.set_id, s.component_id, s.position, r.seq, v_at FROM sheet s JOIN regulator_set r ON r.id = s.set_id WHERE s.is_new ORDER BY s.row;
  RETURN jsonb_build_object('answer', 'done', 'newSets', v_new_sets, 'newComponents', v_new_components,
    'alreadyHere', (SELECT count(*) FROM sheet WHERE NOT is_new));
END $$;

-- p_rows = [{row, maker, serial, doneOn, work: service | inspection, divesAt, words, facts}]: past work on components already recorded.
CREATE FUNCTION import_history(p_who jsonb, p_rows jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_at timestamptz;
  v_clash jsonb;
  v_sets uuid[];
  v_new int;
BEGIN
  PERFORM actor(p_who, 'manager', 'technician');
  PERFORM pg_advisory_xact_lock(hashtextextended('import', 1));
  CREATE TEMP TABLE history_sheet ON COMMIT DROP AS
  SELECT r.*, c.id AS component_id, f.set_id FROM jsonb_to_recordset(p_rows) AS r(row int, maker text, serial text, "doneOn" date, work text, "divesAt" int, words text, facts jsonb)
    LEFT JOIN model m ON m.maker = r.maker LEFT JOIN component c ON c.model_id = m.id AND c.serial = r.serial AND c.site_id = (p_who->>'site')::uuid
    LEFT JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL;
  DELETE FROM history_sheet h WHERE component_id IS NULL AND EXISTS (SELECT FROM history_sheet k WHERE k.row = h.row AND k.component_id IS NOT NULL);
  SELECT jsonb_agg(jsonb_build_object('row', row, 'serial', serial, 'code', code)) INTO v_clash FROM (
    SELECT DISTINCT row, serial, 'no-such-component' AS code FROM history_sheet WHERE component_id IS NULL
    UNION ALL SELECT row, serial, 'serial-twice' FROM history_sheet WHERE component_id IS NOT NULL GROUP BY row, serial HAVING count(*) > 1
    UNION ALL SELECT h.row, h.serial, 'count-above-reading' FROM history_sheet h JOIN component c ON c.id = h.component_id WHERE h."divesAt" > c.dives_total
    ORDER BY 1 LIMIT 500) x;
  IF v_clash IS NOT NULL THEN RAISE EXCEPTION 'The sheet contradicts the record' USING ERRCODE = 'HR422', DETAIL = v_clash::text; END IF;
  DELETE FROM history_sheet h WHERE EXISTS (SELECT FROM component_work w WHERE w.component_id = h.component_id AND w.kind = h.work AND w.done_on = h."doneOn");
  SELECT coalesce(array_agg(DISTINCT set_id), '{}') INTO v_sets FROM history_sheet WHERE set_id IS NOT NULL;
  v_at := lock_sets(v_sets);
  -- Work whose count was not written down leaves the dives since then unknown: the reading at the work before counts, never fewer.
  PERFORM note_work(h.component_id, h.set_id, NULL, h.work, h."doneOn",
      coalesce(h."divesAt", (SELECT coalesce(max(w.dives_at), 0) FROM component_work w WHERE w.component_id = h.component_id AND w.done_on <= h."doneOn")),
      CASE WHEN h."divesAt" IS NULL THEN (SELECT coalesce(max(w.minutes_at), 0) FROM component_work w WHERE w.component_id = h.component_id AND w.done_on <= h."doneOn")
           ELSE greatest(0, (SELECT c.minutes_total - (c.dives_total - h."divesAt") * t.minutes_per_dive FROM component c JOIN site t ON t.id = c.site_id WHERE c.id = h.component_id)) END,
      false, true, h.words, NULL, v_at,
      h."divesAt" IS NOT NULL AND EXISTS (SELECT FROM component_import i WHERE i.component_id = h.component_id AND i.facts->>'totalDives' IS NOT NULL), h.facts)
     FROM (SELECT * FROM history_sheet ORDER BY "doneOn", row) h;
  SELECT count(*) INTO v_new FROM history_sheet;
  -- A sheet's word for a service releases nothing: a technician of ours does, afterwards.
  PERFORM append_entry(g.set_id, 'imported', p_who, v_at, jsonb_build_object('history', g.history))
     FROM (SELECT set_id, jsonb_agg(jsonb_build_object('component', component_id, 'work', work, 'on', "doneOn") ORDER BY row) AS history FROM history_sheet WHERE set_id IS NOT NULL GROUP BY set_id) g;
  RETURN jsonb_build_object('answer', 'done', 'newWork', v_new, 'alreadyHere', jsonb_array_length(p_rows) - v_new);
END $$;

CREATE FUNCTION open_import(p_who jsonb, p_file_name text) RETURNS uuid LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'manager', 'technician');
  INSERT INTO import_job (site_id, started_by, file_name, phase) VALUES ((p_who->>'site')::uuid, (p_who->>'staff')::uuid, p_file_name, 'reading') RETURNING id INTO v_id;
  RETURN v_id;
END $$;

CREATE FUNCTION step_import(p_job uuid, p_phase text, p_total int, p_done int, p_words text) RETURNS void LANGUAGE sql AS $$
  UPDATE import_job SET phase = p_phase, rows_total = p_total, rows_done = p_done, words = p_words,
    finished_at = CASE WHEN p_phase IN ('done', 'refused', 'failed') THEN kitroom_clock() END WHERE id = p_job AND finished_at IS NULL
$$;
