-- Backups and what a restore asks for.
--
-- A centre brought back from a backup knows nothing of what happened after it: a set that the record shows on the rail
-- may be with a hirer, used or broken. So every set is held from the restore on, until a manager says that it was seen.

-- What became of each backup. Kept for the manager's first page; a backup cannot hold the line about itself.
CREATE TABLE backup_run (
  id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  started_at timestamptz NOT NULL,
  ended_at   timestamptz NOT NULL,
  scheduled  boolean NOT NULL,
  -- Null: it failed, and `words` says why.
  file_name  text CHECK (file_name <> ''),
  bytes      bigint CHECK (bytes > 0),
  words      text NOT NULL,
  CHECK ((file_name IS NULL) = (bytes IS NULL))
);

-- One row for each time the centre was brought back. `taken_at` is the moment the backup shows.
CREATE TABLE restore (
  id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  taken_at    timestamptz NOT NULL,
  restored_at timestamptz NOT NULL,
  -- SHA-256 of the file, in hexadecimal.
  digest      text NOT NULL CHECK (digest ~ '^[0-9a-f]{64}$')
);

-- A set as a restore found it, held until `seen_seq` is filled in.
CREATE TABLE restored_set (
  restore_id   bigint NOT NULL REFERENCES restore ON DELETE RESTRICT,
  set_id       uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  restored_seq int NOT NULL,
  seen_seq     int CHECK (seen_seq > restored_seq),
  seen_at      timestamptz,
  seen_by      uuid REFERENCES staff ON DELETE RESTRICT,
  PRIMARY KEY (restore_id, set_id),
  CHECK ((seen_seq IS NULL) = (seen_at IS NULL) AND (seen_seq IS NULL) = (seen_by IS NULL))
);
-- "Was this set seen since?", asked at every gate. A set is held by one restore at a time.
CREATE UNIQUE INDEX restored_set_open ON restored_set (set_id) WHERE seen_seq IS NULL;

DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['backup_run','restore','restored_set'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE DELETE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_delete', t);
    EXECUTE format('CREATE TRIGGER %I BEFORE TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION history_stands()', t || '_no_truncate', t);
  END LOOP;
  FOREACH t IN ARRAY ARRAY['backup_run','restore'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE UPDATE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_update', t);
  END LOOP;
END $$;
CREATE TRIGGER restored_set_fill BEFORE UPDATE ON restored_set FOR EACH ROW EXECUTE FUNCTION fill_once('seen_seq', 'seen_at', 'seen_by');

INSERT INTO act_kind (act, soils, ends_release, asks_test) VALUES
  ('restored',      false, false, false),
  ('restored-seen', false, false, false);

-- Called once by whoever restores, as the owner of the tables: holds every set that could go out, and ends what lets
-- somebody in without a password. Answers how many sets are held.
CREATE FUNCTION mark_restored(p_taken_at timestamptz, p_digest text) RETURNS int LANGUAGE plpgsql AS $$
DECLARE
  v_sets uuid[];
  v_at timestamptz;
  v_restore bigint;
BEGIN
  -- Before anything is recorded now: a clock that has run away since the backup must not look right for it.
  PERFORM beat_clock(false);
  SELECT coalesce(array_agg(id), '{}') INTO v_sets FROM regulator_set s
   WHERE retired_seq IS NULL AND NOT EXISTS (SELECT FROM restored_set r WHERE r.set_id = s.id AND r.seen_seq IS NULL);
  v_at := coalesce(lock_sets(v_sets), kitroom_clock());
  INSERT INTO restore (taken_at, restored_at, digest) VALUES (p_taken_at, v_at, p_digest) RETURNING id INTO v_restore;
  INSERT INTO restored_set (restore_id, set_id, restored_seq)
  SELECT v_restore, u, append_entry(u, 'restored', '{}', v_at, jsonb_build_object('takenAt', p_taken_at)) FROM unnest(v_sets) u;
  PERFORM append_site_entry(id, 'restored', '{}', v_at, jsonb_build_object('takenAt', p_taken_at, 'digest', p_digest)) FROM site ORDER BY id;
  UPDATE session SET ended_at = v_at WHERE ended_at IS NULL;
  UPDATE device SET revoked_at = v_at WHERE revoked_at IS NULL;
  UPDATE calendar_feed SET revoked_at = v_at WHERE revoked_at IS NULL;
  RETURN (SELECT count(*) FROM restored_set WHERE seen_seq IS NULL);
END $$;

-- A manager says that these sets were seen since the restore, and that what the record says of them is true. p_sets null: all
-- that are held and not out, of which somebody counted p_counted. What happened to a set in between is recorded by its own acts.
CREATE FUNCTION confirm_seen(p_who jsonb, p_sets uuid[], p_counted int, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('sets', to_jsonb(p_sets), 'counted', p_counted, 'words', p_words);
  v_answer jsonb := first_answer(p_who, 'confirm-seen', v_body);
  v_site uuid := (p_who->>'site')::uuid;
  v_sets uuid[] := p_sets;
  v_at timestamptz;
  v_tags jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'manager');
  IF p_sets IS NULL THEN
    SELECT array_agg(s.id) INTO v_sets FROM regulator_set s JOIN restored_set r ON r.set_id = s.id AND r.seen_seq IS NULL WHERE s.site_id = v_site;
  END IF;
  v_at := lock_sets(v_sets);
  IF EXISTS (SELECT FROM unnest(v_sets) u LEFT JOIN regulator_set s ON s.id = u WHERE s.site_id IS DISTINCT FROM v_site) THEN RETURN refused('no-such-set'); END IF;
  IF p_sets IS NULL THEN
    SELECT array_agg(s.id) INTO v_sets FROM regulator_set s JOIN restored_set r ON r.set_id = s.id AND r.seen_seq IS NULL
     WHERE s.id = ANY (v_sets) AND NOT EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL);
    IF coalesce(cardinality(v_sets), 0) <> p_counted THEN
      RETURN refused('count-differs', jsonb_build_object('counted', p_counted, 'recorded', coalesce(cardinality(v_sets), 0)));
    END IF;
  END IF;
  SELECT jsonb_agg(s.tag ORDER BY s.tag) INTO v_tags FROM regulator_set s WHERE s.id = ANY (v_sets) AND NOT EXISTS (SELECT FROM restored_set r WHERE r.set_id = s.id AND r.seen_seq IS NULL);
  IF v_tags IS NOT NULL THEN RETURN refused('already-seen', jsonb_build_object('tags', v_tags)); END IF;
  SELECT jsonb_agg(s.tag ORDER BY s.tag) INTO v_tags FROM regulator_set s JOIN hire_line h ON h.set_id = s.id AND h.back_at IS NULL WHERE s.id = ANY (v_sets);
  IF v_tags IS NOT NULL THEN RETURN refused('out', jsonb_build_object('tags', v_tags)); END IF;
  UPDATE restored_set r SET seen_at = v_at, seen_by = (p_who->>'staff')::uuid,
         seen_seq = append_entry(r.set_id, 'restored-seen', p_who, v_at, jsonb_build_object('words', p_words, 'counted', p_counted))
   WHERE r.set_id = ANY (v_sets) AND r.seen_seq IS NULL;
  RETURN keep_answer(p_who, 'confirm-seen', v_body, jsonb_build_object('answer', 'done', 'sets', coalesce(cardinality(v_sets), 0)));
END $$;

-- The heart of the gate for one set and one hire: every code that holds, in no particular order.
-- Suitability (connection, pressure, oxygen, cold, pairing) is decided by packages/rules.
CREATE OR REPLACE FUNCTION heart_holds(p_set uuid, p_today date, p_back_on date, p_dives int, p_minutes int, p_teaching boolean)
RETURNS TABLE (code text, component uuid) LANGUAGE sql STABLE AS $$
  -- What is true of the set as a whole.
  SELECT v.code, NULL::uuid FROM regulator_set s CROSS JOIN LATERAL (VALUES
      ('evidence-lock', evidence_seq IS NOT NULL),
      ('retired', retired_seq IS NOT NULL),
      ('out', EXISTS (SELECT FROM hire_line WHERE set_id = p_set AND back_at IS NULL)),
      ('restored', EXISTS (SELECT FROM restored_set WHERE set_id = p_set AND seen_seq IS NULL)),
      ('not-released', released_seq <= unreleased_seq),
      ('not-clean', cleaned_seq <= soiled_seq),
      ('incomplete', (SELECT count(*) FILTER (WHERE position = 'first-stage') <> 1 OR count(*) FILTER (WHERE position = 'primary') <> 1
                          OR count(*) FILTER (WHERE position = 'alternate') = 0 OR count(*) FILTER (WHERE position = 'gauge') = 0
                        FROM fitting WHERE set_id = p_set AND until_at IS NULL))
    ) v (code, holds) WHERE s.id = p_set AND v.holds
  UNION ALL SELECT 'fault', component_id FROM fault WHERE set_id = p_set AND cleared_at IS NULL AND severity IN ('out', 'hold')
  UNION ALL SELECT CASE n.state WHEN 'open' THEN 'notice' ELSE 'notice-check' END, n.component_id
              FROM fitting f JOIN notice_match n ON n.component_id = f.component_id WHERE f.set_id = p_set AND f.until_at IS NULL AND n.cleared_at IS NULL
  -- What is true of each component.
  UNION ALL SELECT v.code, k.component_id FROM component_standing k
    CROSS JOIN LATERAL (SELECT CASE WHEN p_teaching THEN service_due_on_taught ELSE service_due_on END AS due_on) d
    CROSS JOIN LATERAL (VALUES
      ('first-inspection', never_seen),
      (CASE WHEN p_today > due_on OR service_dives_left <= 0 OR service_minutes_left <= 0 THEN 'service-overdue' ELSE 'service-falls-due' END,
        judged AND (greatest(p_back_on, p_today) > due_on OR service_dives_left <= 0 OR service_minutes_left <= 0
          OR p_dives > service_dives_left OR p_minutes > service_minutes_left)),
      (CASE WHEN p_today > inspection_due_on OR inspection_dives_left <= 0 OR inspection_minutes_left <= 0 THEN 'inspection-overdue' ELSE 'inspection-falls-due' END,
        judged AND (greatest(p_back_on, p_today) > inspection_due_on OR inspection_dives_left <= 0 OR inspection_minutes_left <= 0
          OR p_dives > inspection_dives_left OR p_minutes > inspection_minutes_left)),
      ('shelf-inspection', p_today > shelf_until),
      ('not-judged', NOT judged)
    ) v (code, holds) WHERE k.set_id = p_set AND v.holds
$$;

-- One row a set for boards: its state in words, and what falls due first.
CREATE OR REPLACE VIEW set_board AS
SELECT s.id, s.tag, s.site_id, s.seq, s.last_at,
       (kitroom_clock() AT TIME ZONE t.time_zone)::date AS today,
       CASE
         WHEN s.evidence_seq IS NOT NULL THEN 'evidence-lock'
         WHEN s.retired_seq IS NOT NULL THEN 'retired'
         WHEN o.set_id IS NOT NULL THEN 'out'
         WHEN b.id IS NOT NULL THEN CASE WHEN EXISTS (SELECT FROM work_order_park p WHERE p.order_id = b.id AND p.until_at IS NULL) THEN 'awaiting-parts' ELSE 'on-the-bench' END
         WHEN EXISTS (SELECT FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL AND f.severity IN ('out', 'hold')) THEN 'tagged-out'
         WHEN s.released_seq <= s.unreleased_seq THEN 'to-release'
         WHEN s.cleaned_seq <= s.soiled_seq THEN CASE WHEN w.set_id IS NULL THEN 'to-clean' WHEN w.wet_seq IS NULL THEN 'in-bath' ELSE 'drying' END
         WHEN d.held OR d.parts IS NULL OR d.firsts <> 1 OR d.primaries <> 1 OR d.alternates < 1 OR d.gauges < 1 OR d.unpaired
              OR d.due_on < (kitroom_clock() AT TIME ZONE t.time_zone)::date OR d.dives_left <= 0 OR d.minutes_left <= 0
              OR d.shelf_until < (kitroom_clock() AT TIME ZONE t.time_zone)::date
              OR EXISTS (SELECT FROM restored_set r WHERE r.set_id = s.id AND r.seen_seq IS NULL) THEN 'held'
         ELSE 'ready'
       END AS state,
       o.back_on, o.out_at, d.due_on, d.dives_left, d.minutes_left, d.parts, d.models
FROM regulator_set s
JOIN site t ON t.id = s.site_id
LEFT JOIN hire_line o ON o.set_id = s.id AND o.back_at IS NULL
LEFT JOIN work_order b ON b.set_id = s.id AND b.taken_at IS NOT NULL AND b.done_at IS NULL
LEFT JOIN cleaning_run_set w ON w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL
LEFT JOIN LATERAL (
  SELECT count(*) AS parts,
         min(least(k.service_due_on, k.inspection_due_on)) AS due_on,
         min(least(k.service_dives_left, k.inspection_dives_left)) AS dives_left,
         min(least(k.service_minutes_left, k.inspection_minutes_left)) AS minutes_left,
         min(k.shelf_until) AS shelf_until,
         bool_or(NOT k.judged OR k.never_seen
           OR EXISTS (SELECT FROM notice_match n WHERE n.component_id = k.component_id AND n.cleared_at IS NULL)) AS held,
         count(*) FILTER (WHERE k.position = 'first-stage') AS firsts,
         count(*) FILTER (WHERE k.position = 'primary') AS primaries,
         count(*) FILTER (WHERE k.position = 'alternate') AS alternates,
         count(*) FILTER (WHERE k.position = 'gauge') AS gauges,
         bool_or(k.position IN ('primary', 'alternate') AND NOT EXISTS (
           SELECT FROM pairing p
           JOIN component cf ON cf.model_id = p.first_model_id
           JOIN fitting ff ON ff.component_id = cf.id AND ff.set_id = k.set_id AND ff.position = 'first-stage' AND ff.until_at IS NULL
           WHERE p.second_model_id = k.model_id AND p.withdrawn_at IS NULL)) AS unpaired,
         string_agg(DISTINCT k.model_id::text, ' ') AS models
  FROM component_standing k WHERE k.set_id = s.id
) d ON true;

DO $$
BEGIN
  GRANT SELECT ON backup_run, restore, restored_set TO hangrail_app;
  REVOKE ALL ON FUNCTION mark_restored(timestamptz, text), confirm_seen(jsonb, uuid[], int, text) FROM PUBLIC;
  ALTER FUNCTION confirm_seen(jsonb, uuid[], int, text) SECURITY DEFINER SET search_path = public, pg_temp;
  ALTER FUNCTION confirm_seen(jsonb, uuid[], int, text) SET plan_cache_mode = force_generic_plan;
  GRANT EXECUTE ON FUNCTION confirm_seen(jsonb, uuid[], int, text) TO hangrail_app;
END $$;
