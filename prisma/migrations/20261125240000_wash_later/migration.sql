-- Scans that the wash room made while the network was away. They are recorded at the hour they arrive, by the
-- database's clock like every act, and their entries say so: "late" in the content, with the time the tablet's clock
-- showed at the scan. That time is a claim and decides nothing.
--
-- A scan counts for the set it was made on and for no other state of it: it names the number of acts the set had lived
-- through when the tablet last saw it, or the scan of the same tablet that it follows. Whatever else was recorded
-- meanwhile (handed out, breathed from, tagged out, washed by somebody else) refuses it.

-- Appends one act to a set's record and moves its numbers. The set must be locked by this transaction.
CREATE OR REPLACE FUNCTION append_entry(p_set uuid, p_act text, p_who jsonb, p_at timestamptz, p_content jsonb) RETURNS int LANGUAGE plpgsql AS $$
DECLARE
  kind act_kind;
  new_seq int;
  home uuid;
BEGIN
  SELECT * INTO STRICT kind FROM act_kind WHERE act = p_act;
  UPDATE regulator_set SET
    seq            = seq + 1,
    last_at        = p_at,
    soiled_seq     = CASE WHEN kind.soils THEN seq + 1 ELSE soiled_seq END,
    unreleased_seq = CASE WHEN kind.ends_release THEN seq + 1 ELSE unreleased_seq END,
    retest_seq     = CASE WHEN kind.asks_test THEN seq + 1 ELSE retest_seq END,
    -- A test as left that was not passed is another act.
    tested_seq     = CASE WHEN p_act = 'bench-tested' AND p_content->>'phase' = 'as-left' THEN seq + 1 ELSE tested_seq END,
    cleaned_seq    = CASE WHEN p_act = 'cleaned' THEN seq + 1 ELSE cleaned_seq END,
    released_seq   = CASE WHEN p_act = 'released' THEN seq + 1 ELSE released_seq END,
    retired_seq    = CASE WHEN p_act = 'retired' THEN seq + 1 ELSE retired_seq END,
    evidence_seq   = CASE WHEN p_act = 'evidence-locked' THEN coalesce(evidence_seq, seq + 1) WHEN p_act = 'evidence-lifted' THEN NULL ELSE evidence_seq END
  WHERE id = p_set RETURNING seq, site_id INTO STRICT new_seq, home;
  INSERT INTO record_entry (site_id, set_id, seq, act, at, by, device_id, request_id, content)
  VALUES (home, p_set, new_seq, p_act, p_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid,
    p_content || CASE WHEN p_who ? 'late' THEN jsonb_build_object('late', p_who->'late') ELSE '{}' END);
  -- Whatever soils a set takes it out of the bath or off the drying rail: that wash no longer counts.
  -- A set that is sealed or retired is not washed on either.
  IF kind.soils OR p_act IN ('evidence-locked', 'retired') THEN
    UPDATE cleaning_run_set SET abandoned_seq = new_seq WHERE set_id = p_set AND clean_seq IS NULL AND abandoned_seq IS NULL;
  END IF;
  RETURN new_seq;
END $$;

-- One scan of the wash room, entered afterwards. p_step = "in" (into p_bath), "out" (the run the set is in) or "dry" (that
-- set alone). p_after = {"seq": n} or {"request": uuid of the scan before}. p_scanned_at is kept and never judged.
-- What the step itself asks (bath, wet time, drying) is asked by the act of the wash room, at this hour.
CREATE FUNCTION enter_wash_late(p_who jsonb, p_step text, p_set uuid, p_bath uuid, p_after jsonb, p_scanned_at text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_site uuid := (p_who->>'site')::uuid;
  v_who jsonb := p_who || jsonb_build_object('late', jsonb_build_object('scannedAt', p_scanned_at));
  v_act text := CASE p_step WHEN 'in' THEN 'wash-started' WHEN 'out' THEN 'wet-ended' WHEN 'dry' THEN 'cleaned' END;
  v_answer jsonb;
  v_run uuid;
  v_seen int;
  v_set record;
BEGIN
  IF v_act IS NULL THEN RAISE EXCEPTION 'enter_wash_late does not know %', p_step USING ERRCODE = 'HR400'; END IF;
  PERFORM actor(p_who, 'wash-room');
  -- A scan is known by its request, its set and its step, whoever sends it the second time: the tablet may have changed hands.
  PERFORM pg_advisory_xact_lock(hashtextextended(p_who->>'request', 1));
  SELECT c.answer INTO v_answer FROM command c
   WHERE c.request_id = (p_who->>'request')::uuid
     AND EXISTS (SELECT FROM record_entry e WHERE e.set_id = p_set AND e.request_id = c.request_id AND e.act = v_act AND e.site_id = v_site AND e.content ? 'late');
  IF FOUND THEN RETURN v_answer || '{"repeat": true}'; END IF;
  IF EXISTS (SELECT FROM command WHERE request_id = (p_who->>'request')::uuid) THEN RETURN refused('request-reused'); END IF;

  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND site_id = v_site) THEN RETURN refused('no-such-set'); END IF;
  -- All sets of the run at once, in order, as the act below takes them: two acts never wait on each other in a ring.
  SELECT run_id INTO v_run FROM cleaning_run_set WHERE set_id = p_set AND clean_seq IS NULL AND abandoned_seq IS NULL;
  IF v_run IS NULL THEN PERFORM lock_sets(ARRAY[p_set]); ELSE PERFORM lock_run(v_run, v_site); END IF;

  v_seen := CASE WHEN p_after ? 'seq' THEN (p_after->>'seq')::int
    ELSE (SELECT max(seq) FROM record_entry WHERE set_id = p_set AND request_id = (p_after->>'request')::uuid AND act IN ('wash-started', 'wet-ended')) END;
  SELECT s.tag, s.seq, e.act, e.at INTO v_set FROM regulator_set s LEFT JOIN record_entry e ON e.set_id = s.id AND e.seq = s.seq WHERE s.id = p_set;
  IF v_seen IS NULL THEN RETURN refused('scan-before-missing', jsonb_build_object('tag', v_set.tag)); END IF;
  IF v_set.seq <> v_seen THEN RETURN refused('changed-since-scan', jsonb_build_object('tag', v_set.tag, 'act', v_set.act, 'at', v_set.at)); END IF;

  IF p_step = 'in' THEN RETURN start_wash(v_who, p_bath, ARRAY[p_set]); END IF;
  IF v_run IS NULL THEN RETURN refused('not-washing', jsonb_build_object('tag', v_set.tag)); END IF;
  IF p_step = 'out' THEN RETURN end_wet(v_who, v_run); END IF;
  RETURN finish_wash(v_who, v_run, ARRAY[p_set]);
END $$;

REVOKE ALL ON FUNCTION enter_wash_late(jsonb, text, uuid, uuid, jsonb, text) FROM PUBLIC;
ALTER FUNCTION enter_wash_late(jsonb, text, uuid, uuid, jsonb, text) SECURITY DEFINER SET search_path = public, pg_temp;
ALTER FUNCTION enter_wash_late(jsonb, text, uuid, uuid, jsonb, text) SET plan_cache_mode = force_generic_plan;
GRANT EXECUTE ON FUNCTION enter_wash_late(jsonb, text, uuid, uuid, jsonb, text) TO hangrail_app;
