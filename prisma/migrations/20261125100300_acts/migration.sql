-- The acts of the kit room. Each is one function, called in one statement: it locks every set it
-- touches (in id order, so two acts never wait on each other in a ring), reads the clock after the
-- lock, checks, writes, and appends to the record. The application may call these and nothing else.
--
-- `p_who` = {"staff": uuid, "site": uuid, "device": uuid or null, "request": uuid}.
-- Answers are jsonb: {"answer": "done" | "refused" | …}. A refusal carries a code and the facts behind it.

-- ── Shared parts ────────────────────────────────────────────────────────────────────────

CREATE FUNCTION person_key(p_staff uuid) RETURNS bigint LANGUAGE sql IMMUTABLE AS $$ SELECT hashtextextended(p_staff::text, 2) $$;

-- The actor, if they hold one of the roles at this site now. Anything else is a broken promise
-- of the application and raises HR403. Holds the person until the act ends: `set_roles` and
-- `close_person` take the same lock alone, so no act of theirs is recorded after the role has gone.
CREATE FUNCTION actor(p_who jsonb, VARIADIC p_roles text[]) RETURNS uuid LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_advisory_xact_lock_shared(person_key((p_who->>'staff')::uuid));
  IF NOT EXISTS (
    SELECT FROM staff_role r JOIN staff p ON p.id = r.staff_id
    WHERE r.staff_id = (p_who->>'staff')::uuid AND r.site_id = (p_who->>'site')::uuid
      AND r.role = ANY (p_roles) AND r.until_at IS NULL AND p.closed_at IS NULL) THEN
    RAISE EXCEPTION 'This person does not hold % here', array_to_string(p_roles, ' or ') USING ERRCODE = 'HR403';
  END IF;
  RETURN (p_who->>'staff')::uuid;
END $$;

-- May this person work on this maker's equipment today?
CREATE FUNCTION is_authorised(p_staff uuid, p_maker text, p_on date, p_oxygen boolean) RETURNS boolean LANGUAGE sql STABLE AS $$
  SELECT EXISTS (SELECT FROM authorisation WHERE staff_id = p_staff AND maker = p_maker
    AND p_on BETWEEN from_on AND until_on AND (oxygen_clean OR NOT p_oxygen))
$$;

CREATE FUNCTION refused(p_code text, p_facts jsonb DEFAULT '{}') RETURNS jsonb LANGUAGE sql IMMUTABLE AS $$
  SELECT jsonb_build_object('answer', 'refused', 'code', p_code, 'facts', p_facts)
$$;

-- The first answer to this request, or null for a new one. Holds the request until the
-- transaction ends, so that its twin waits and then reads the first answer.
CREATE FUNCTION first_answer(p_who jsonb, p_act text, p_body jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE known command;
BEGIN
  PERFORM pg_advisory_xact_lock(hashtextextended(p_who->>'request', 1));
  SELECT * INTO known FROM command WHERE request_id = (p_who->>'request')::uuid;
  IF NOT FOUND THEN RETURN NULL; END IF;
  IF known.act <> p_act OR known.body_hash <> sha256(convert_to(((p_who - 'request') || p_body)::text, 'UTF8')) THEN
    RETURN refused('request-reused');
  END IF;
  RETURN known.answer || '{"repeat": true}';
END $$;

CREATE FUNCTION keep_answer(p_who jsonb, p_act text, p_body jsonb, p_answer jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  INSERT INTO command (request_id, act, body_hash, answer, at)
  VALUES ((p_who->>'request')::uuid, p_act, sha256(convert_to(((p_who - 'request') || p_body)::text, 'UTF8')), p_answer, kitroom_clock());
  RETURN p_answer;
END $$;

-- Can this clock be trusted? null when it can, else why not. `behind`: it shows less than an
-- instant already recorded (5 s are forgiven, acts then carry the recorded instant). `leap`: it ran
-- away from the server's steady clock, or nothing at all was recorded for the fourteen days before.
CREATE FUNCTION clock_doubt(p_now timestamptz) RETURNS jsonb LANGUAGE plpgsql STABLE AS $$
DECLARE
  mark clock_mark;
  highest timestamptz;
BEGIN
  SELECT * INTO mark FROM clock_mark;
  SELECT greatest(max(newest.at), mark.beat_at) INTO highest
    FROM (SELECT at FROM record_entry WHERE id > mark.confirmed_after ORDER BY at DESC LIMIT 1) newest;
  IF p_now < highest - interval '5 seconds' THEN
    RETURN jsonb_build_object('code', 'clock-behind', 'facts', jsonb_build_object('clock', p_now, 'recorded', highest));
  END IF;
  IF mark.leap_seen_at IS NOT NULL OR p_now > highest + interval '14 days' THEN
    RETURN jsonb_build_object('code', 'clock-leap', 'facts', jsonb_build_object('clock', p_now, 'recorded', highest));
  END IF;
  RETURN NULL;
END $$;

-- Locks the sets of an act in id order and returns the instant of the act: the database's clock read
-- after the locks, never before anything these sets have already lived through. A recorded instant that lies
-- well ahead came from a clock that was wrong then; `clock_doubt` speaks of it until a manager has confirmed the clock.
CREATE FUNCTION lock_sets(p_sets uuid[]) RETURNS timestamptz LANGUAGE plpgsql AS $$
DECLARE
  newest timestamptz;
  clock timestamptz;
BEGIN
  SELECT max(l.last_at) INTO newest FROM (SELECT last_at FROM regulator_set WHERE id = ANY (p_sets) ORDER BY id FOR UPDATE) l;
  clock := kitroom_clock();
  RETURN CASE WHEN newest <= clock + interval '5 seconds' THEN greatest(clock, newest) ELSE clock END;
END $$;

CREATE FUNCTION site_today(p_site uuid, p_at timestamptz) RETURNS date LANGUAGE sql STABLE AS $$
  SELECT (p_at AT TIME ZONE time_zone)::date FROM site WHERE id = p_site
$$;


-- Appends one act to a set's record and moves its numbers. The set must be locked by this transaction.
CREATE FUNCTION append_entry(p_set uuid, p_act text, p_who jsonb, p_at timestamptz, p_content jsonb) RETURNS int LANGUAGE plpgsql AS $$
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
    cleaned_seq    = CASE WHEN p_act = 'cleaned' THEN seq + 1 ELSE cleaned_seq END,
    released_seq   = CASE WHEN p_act = 'released' THEN seq + 1 ELSE released_seq END,
    retired_seq    = CASE WHEN p_act = 'retired' THEN seq + 1 ELSE retired_seq END,
    evidence_seq   = CASE WHEN p_act = 'evidence-locked' THEN coalesce(evidence_seq, seq + 1) ELSE evidence_seq END
  WHERE id = p_set RETURNING seq, site_id INTO STRICT new_seq, home;
  INSERT INTO record_entry (site_id, set_id, seq, act, at, by, device_id, request_id, content)
  VALUES (home, p_set, new_seq, p_act, p_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid, p_content);
  -- Whatever soils a set takes it out of the bath or off the drying rail: that wash no longer counts.
  -- A set that is sealed or retired is not washed on either.
  IF kind.soils OR p_act IN ('evidence-locked', 'retired') THEN
    UPDATE cleaning_run_set SET abandoned_seq = new_seq WHERE set_id = p_set AND clean_seq IS NULL AND abandoned_seq IS NULL;
  END IF;
  RETURN new_seq;
END $$;

CREATE FUNCTION append_site_entry(p_site uuid, p_act text, p_who jsonb, p_at timestamptz, p_content jsonb) RETURNS void LANGUAGE sql AS $$
  INSERT INTO record_entry (site_id, act, at, by, device_id, request_id, content)
  VALUES (p_site, p_act, p_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid, p_content)
$$;

-- Why nothing may be done with this set now, or null. Call after the lock.
CREATE FUNCTION untouchable(p_set uuid, p_site uuid) RETURNS jsonb LANGUAGE sql STABLE AS $$
  SELECT CASE
    WHEN s.id IS NULL OR s.site_id <> p_site THEN refused('no-such-set')
    WHEN s.evidence_seq IS NOT NULL THEN refused('evidence-lock', jsonb_build_object('tag', s.tag))
    WHEN s.retired_seq IS NOT NULL THEN refused('retired', jsonb_build_object('tag', s.tag))
    WHEN EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL) THEN refused('out', jsonb_build_object('tag', s.tag))
  END FROM (SELECT p_set AS wanted) w LEFT JOIN regulator_set s ON s.id = w.wanted
$$;

-- ── The desk ────────────────────────────────────────────────────────────────────────────

-- p_hire = {hirer, contact, backOn, dives, minutes, teaching, cylinderConnection, cylinderBar, o2Tenths,
--           waterTenthsC, depthM}; p_sets = [{id, seq}] as the caller's decision saw them.
CREATE FUNCTION hand_out(p_who jsonb, p_hire jsonb, p_sets jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('hire', p_hire, 'sets', (SELECT jsonb_agg(x->'id' ORDER BY x->>'id') FROM jsonb_array_elements(p_sets) x));
  v_answer jsonb := first_answer(p_who, 'hand-out', v_body);
  v_ids uuid[];
  v_at timestamptz;
  v_today date;
  v_doubt jsonb;
  v_holds jsonb;
  v_hirer uuid;
  v_hire uuid;
  v_lines int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk');
  SELECT array_agg((x->>'id')::uuid) INTO v_ids FROM jsonb_array_elements(p_sets) x;
  IF v_ids IS NULL OR cardinality(v_ids) <> (SELECT count(DISTINCT u) FROM unnest(v_ids) u) THEN
    RETURN refused('same-set-twice');
  END IF;
  v_at := lock_sets(v_ids);
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  v_today := site_today((p_who->>'site')::uuid, v_at);
  IF (p_hire->>'backOn')::date < v_today THEN RETURN refused('back-before-today', jsonb_build_object('today', v_today)); END IF;

  -- Somebody touched a set since it was decided on: decide again.
  SELECT jsonb_agg(jsonb_build_object('id', x->>'id', 'seq', s.seq)) INTO v_holds
    FROM jsonb_array_elements(p_sets) x LEFT JOIN regulator_set s ON s.id = (x->>'id')::uuid
   WHERE s.seq IS DISTINCT FROM (x->>'seq')::int;
  IF v_holds IS NOT NULL THEN RETURN jsonb_build_object('answer', 'stale', 'sets', v_holds); END IF;

  SELECT jsonb_agg(jsonb_build_object('set', s.id, 'code', h.code, 'component', h.component)) INTO v_holds
    FROM regulator_set s CROSS JOIN LATERAL (
      SELECT * FROM heart_holds(s.id, v_today, (p_hire->>'backOn')::date, (p_hire->>'dives')::int, (p_hire->>'minutes')::int, (p_hire->>'teaching')::boolean)
      UNION ALL SELECT 'elsewhere', NULL WHERE s.site_id <> (p_who->>'site')::uuid) h
   WHERE s.id = ANY (v_ids);
  IF v_holds IS NOT NULL THEN RETURN jsonb_build_object('answer', 'hold', 'holds', v_holds); END IF;

  INSERT INTO hirer (name, contact) VALUES (p_hire->>'hirer', p_hire->>'contact') RETURNING id INTO v_hirer;
  INSERT INTO hire (site_id, hirer_id, back_on, dives, minutes, teaching, cylinder_connection, cylinder_bar, o2_tenths,
                    water_tenths_c, depth_m, out_at, out_by, device_id, request_id)
  VALUES ((p_who->>'site')::uuid, v_hirer, (p_hire->>'backOn')::date, (p_hire->>'dives')::int, (p_hire->>'minutes')::int,
          (p_hire->>'teaching')::boolean, p_hire->>'cylinderConnection', (p_hire->>'cylinderBar')::int, (p_hire->>'o2Tenths')::int,
          (p_hire->>'waterTenthsC')::int, (p_hire->>'depthM')::int, v_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid)
  RETURNING id INTO v_hire;
  INSERT INTO hire_line (hire_id, set_id, out_seq, out_at, back_on)
  SELECT v_hire, s.id, append_entry(s.id, 'handed-out', p_who, v_at, (p_hire - 'hirer' - 'contact') || jsonb_build_object('hire', v_hire)),
         v_at, (p_hire->>'backOn')::date
    FROM (SELECT id FROM regulator_set WHERE id = ANY (v_ids) ORDER BY id) s;
  GET DIAGNOSTICS v_lines = ROW_COUNT;
  IF v_lines <> cardinality(v_ids) THEN RAISE EXCEPTION 'hand_out wrote % of % sets', v_lines, cardinality(v_ids); END IF;
  RETURN keep_answer(p_who, 'hand-out', v_body, jsonb_build_object('answer', 'done', 'hire', v_hire, 'at', v_at));
END $$;

-- p_lines = [{set, dives, minutes, estimated, waterKind, problem, words, fault: {code, severity, component} | null, missing: [component]}]
CREATE FUNCTION take_back(p_who jsonb, p_lines jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_answer jsonb := first_answer(p_who, 'take-back', p_lines);
  v_ids uuid[];
  v_at timestamptz;
  v_line jsonb;
  v_open hire_line;
  v_teaching boolean;
  v_seq int;
  v_missing uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk');
  SELECT array_agg((x->>'set')::uuid) INTO v_ids FROM jsonb_array_elements(p_lines) x;
  IF cardinality(v_ids) IS DISTINCT FROM (SELECT count(DISTINCT u) FROM unnest(v_ids) u)::int THEN RETURN refused('same-set-twice'); END IF;
  v_at := lock_sets(v_ids);
  IF EXISTS (SELECT FROM unnest(v_ids) u LEFT JOIN regulator_set s ON s.id = u WHERE s.id IS NULL OR s.site_id <> (p_who->>'site')::uuid) THEN
    RETURN refused('no-such-set');
  END IF;
  -- A set sealed while it was out still comes back; nothing is taken off it.
  IF EXISTS (SELECT FROM jsonb_array_elements(p_lines) x JOIN regulator_set s ON s.id = (x->>'set')::uuid
              WHERE s.evidence_seq IS NOT NULL AND x->'missing' <> '[]'::jsonb) THEN RETURN refused('evidence-lock'); END IF;
  IF EXISTS (SELECT FROM unnest(v_ids) u WHERE NOT EXISTS (SELECT FROM hire_line h WHERE h.set_id = u AND h.back_at IS NULL)) THEN
    RETURN refused('not-out', (SELECT jsonb_build_object('tags', jsonb_agg(s.tag)) FROM regulator_set s WHERE s.id = ANY (v_ids)
      AND NOT EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL)));
  END IF;
  IF EXISTS (SELECT FROM jsonb_array_elements(p_lines) x WHERE (x->>'problem')::boolean AND coalesce(x->'fault', 'null') = 'null') THEN
    RETURN refused('problem-without-fault');
  END IF;
  IF EXISTS (SELECT FROM jsonb_array_elements(p_lines) x WHERE x->'fault'->>'component' IS NOT NULL AND NOT EXISTS (
    SELECT FROM fitting WHERE set_id = (x->>'set')::uuid AND component_id = (x->'fault'->>'component')::uuid AND until_at IS NULL)) THEN
    RETURN refused('not-fitted');
  END IF;
  FOR v_line IN SELECT x FROM jsonb_array_elements(p_lines) x ORDER BY x->>'set' LOOP
    SELECT * INTO STRICT v_open FROM hire_line WHERE set_id = (v_line->>'set')::uuid AND back_at IS NULL;
    SELECT teaching INTO STRICT v_teaching FROM hire WHERE id = v_open.hire_id;
    v_seq := append_entry(v_open.set_id, 'taken-back', p_who, v_at, (v_line - 'set' - 'words') || jsonb_build_object('line', v_open.id));
    UPDATE hire_line SET back_seq = v_seq, back_at = v_at, back_by = (p_who->>'staff')::uuid, dives = (v_line->>'dives')::int,
      minutes = (v_line->>'minutes')::int, estimated = (v_line->>'estimated')::boolean, water_kind = v_line->>'waterKind',
      problem = (v_line->>'problem')::boolean, words = v_line->>'words'
    WHERE id = v_open.id;
    INSERT INTO component_use (component_id, line_id, dives, minutes, taught, estimated, used_on, at)
    SELECT component_id, v_open.id, (v_line->>'dives')::int, (v_line->>'minutes')::int, v_teaching AND (v_line->>'dives')::int > 0,
           (v_line->>'estimated')::boolean, CASE WHEN (v_line->>'dives')::int > 0 THEN site_today((p_who->>'site')::uuid, v_at) END, v_at
      FROM fitting WHERE set_id = v_open.set_id AND until_at IS NULL;
    UPDATE component c SET dives_total = c.dives_total + u.dives, minutes_total = c.minutes_total + u.minutes,
           taught_total = c.taught_total + u.taught::int, last_used_on = greatest(c.last_used_on, u.used_on)
      FROM component_use u WHERE u.line_id = v_open.id AND u.component_id = c.id;
    IF v_line->'fault' <> 'null'::jsonb THEN
      PERFORM open_fault(v_open.set_id, p_who, v_at, v_line->'fault' || jsonb_build_object('where', 'desk', 'words', coalesce(v_line->>'words', ''), 'line', v_open.id));
    END IF;
    FOR v_missing IN SELECT (m #>> '{}')::uuid FROM jsonb_array_elements(v_line->'missing') m LOOP
      IF NOT take_off(v_open.set_id, v_missing, p_who, v_at, 'missing at return') THEN
        RAISE EXCEPTION 'A component named missing is not fitted to this set' USING ERRCODE = 'HR400';
      END IF;
    END LOOP;
  END LOOP;
  RETURN keep_answer(p_who, 'take-back', p_lines, jsonb_build_object('answer', 'done', 'at', v_at));
END $$;

-- ── Faults ──────────────────────────────────────────────────────────────────────────────

-- p_fault = {code, severity, component, where, words, line}. GN-03 (used in an accident) locks the set as evidence.
CREATE FUNCTION open_fault(p_set uuid, p_who jsonb, p_at timestamptz, p_fault jsonb) RETURNS uuid LANGUAGE plpgsql AS $$
DECLARE
  v_seq int;
  v_id uuid;
BEGIN
  v_seq := append_entry(p_set, 'fault-reported', p_who, p_at, p_fault - 'words');
  INSERT INTO fault (set_id, component_id, line_id, code, severity, found_where, words, report_seq, reported_at, reported_by)
  VALUES (p_set, (p_fault->>'component')::uuid, (p_fault->>'line')::bigint, p_fault->>'code', p_fault->>'severity', p_fault->>'where',
          p_fault->>'words', v_seq, p_at, (p_who->>'staff')::uuid) RETURNING id INTO v_id;
  IF p_fault->>'code' = 'GN-03' THEN
    PERFORM append_entry(p_set, 'evidence-locked', p_who, p_at, jsonb_build_object('fault', v_id));
  END IF;
  RETURN v_id;
END $$;

-- Always taken, also for a set that is out: a fault only ever holds.
CREATE FUNCTION report_fault(p_who jsonb, p_set uuid, p_fault jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_fault || jsonb_build_object('set', p_set);
  v_answer jsonb := first_answer(p_who, 'report-fault', v_body);
  v_at timestamptz;
  v_id uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk', 'wash-room', 'technician', 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND site_id = (p_who->>'site')::uuid) THEN RETURN refused('no-such-set'); END IF;
  IF EXISTS (SELECT FROM regulator_set WHERE id = p_set AND evidence_seq IS NOT NULL) THEN RETURN refused('evidence-lock'); END IF;
  IF p_fault->>'component' IS NOT NULL AND NOT EXISTS (
    SELECT FROM fitting WHERE set_id = p_set AND component_id = (p_fault->>'component')::uuid AND until_at IS NULL) THEN
    RETURN refused('not-fitted');
  END IF;
  v_id := open_fault(p_set, p_who, v_at, p_fault || '{"line": null}');
  RETURN keep_answer(p_who, 'report-fault', v_body, jsonb_build_object('answer', 'done', 'fault', v_id));
END $$;

-- A technician clears any fault; the desk only those that a check at the desk may clear (hold, watch).
CREATE FUNCTION clear_fault(p_who jsonb, p_fault uuid, p_outcome text, p_words text, p_opened boolean) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('fault', p_fault, 'outcome', p_outcome, 'words', p_words, 'opened', p_opened);
  v_answer jsonb := first_answer(p_who, 'clear-fault', v_body);
  v_at timestamptz;
  v_fault fault;
  v_stop jsonb;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'desk');
  SELECT f.* INTO v_fault FROM fault f JOIN regulator_set s ON s.id = f.set_id WHERE f.id = p_fault AND s.site_id = (p_who->>'site')::uuid;
  IF NOT FOUND THEN RETURN refused('no-such-fault'); END IF;
  v_at := lock_sets(ARRAY[v_fault.set_id]);
  SELECT * INTO v_fault FROM fault WHERE id = p_fault;
  IF v_fault.severity = 'out' THEN PERFORM actor(p_who, 'technician'); END IF;
  v_stop := untouchable(v_fault.set_id, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF v_fault.cleared_at IS NOT NULL THEN RETURN refused('already-cleared'); END IF;
  IF p_opened THEN
    PERFORM actor(p_who, 'technician');
    PERFORM append_entry(v_fault.set_id, 'opened', p_who, v_at, jsonb_build_object('fault', p_fault));
  END IF;
  v_seq := append_entry(v_fault.set_id, 'fault-cleared', p_who, v_at, jsonb_build_object('fault', p_fault, 'outcome', p_outcome, 'opened', p_opened));
  UPDATE fault SET clear_seq = v_seq, cleared_at = v_at, cleared_by = (p_who->>'staff')::uuid, outcome = p_outcome, clear_words = p_words WHERE id = p_fault;
  RETURN keep_answer(p_who, 'clear-fault', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- ── The wash room ───────────────────────────────────────────────────────────────────────

CREATE FUNCTION mix_bath(p_who jsonb, p_bath jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_answer jsonb := first_answer(p_who, 'mix-bath', p_bath);
  v_product disinfectant;
  v_at timestamptz := kitroom_clock();
  v_doubt jsonb;
  v_active bigint;
  v_total bigint;
  v_ppm int;
  v_id uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'wash-room');
  -- A bath mixed under a clock that runs ahead would outlive its label.
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  SELECT * INTO v_product FROM disinfectant WHERE id = (p_bath->>'product')::uuid AND withdrawn_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-product'); END IF;
  -- C1 V1 = C2 V2; a hundredth of a percent is 100 ppm. Judged without any rounding; written down rounded down.
  v_active := v_product.strength_hundredths::bigint * 100 * (p_bath->>'productMl')::int;
  v_total := (p_bath->>'productMl')::bigint + (p_bath->>'waterMl')::int;
  v_ppm := v_active / v_total;
  IF v_active NOT BETWEEN v_product.min_ppm * v_total AND v_product.max_ppm * v_total THEN
    RETURN refused('bath-strength', jsonb_build_object('ppm', v_ppm, 'min', v_product.min_ppm, 'max', v_product.max_ppm));
  END IF;
  INSERT INTO bath (site_id, disinfectant_id, label, lot, product_ml, water_ml, ppm, mixed_at, mixed_by, expires_at)
  VALUES ((p_who->>'site')::uuid, v_product.id, p_bath->>'label', p_bath->>'lot', (p_bath->>'productMl')::int, (p_bath->>'waterMl')::int,
          v_ppm, v_at, (p_who->>'staff')::uuid, v_at + make_interval(hours => v_product.bath_hours)) RETURNING id INTO v_id;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'bath-mixed', p_who, v_at, p_bath || jsonb_build_object('bath', v_id, 'ppm', v_ppm));
  RETURN keep_answer(p_who, 'mix-bath', p_bath, jsonb_build_object('answer', 'done', 'bath', v_id, 'ppm', v_ppm));
END $$;

CREATE FUNCTION empty_bath(p_who jsonb, p_bath uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'wash-room');
  UPDATE bath SET emptied_at = kitroom_clock() WHERE id = p_bath AND site_id = (p_who->>'site')::uuid AND emptied_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-bath'); END IF;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'bath-emptied', p_who, kitroom_clock(), jsonb_build_object('bath', p_bath));
  RETURN jsonb_build_object('answer', 'done');
END $$;

CREATE FUNCTION start_wash(p_who jsonb, p_bath uuid, p_sets uuid[]) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('bath', p_bath, 'sets', to_jsonb(p_sets));
  v_answer jsonb := first_answer(p_who, 'start-wash', v_body);
  v_at timestamptz;
  v_doubt jsonb;
  v_bath record;
  v_stop jsonb;
  v_run uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'wash-room');
  IF cardinality(p_sets) IS DISTINCT FROM (SELECT count(DISTINCT u) FROM unnest(p_sets) u)::int OR cardinality(p_sets) = 0 THEN RETURN refused('same-set-twice'); END IF;
  v_at := lock_sets(p_sets);
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  SELECT b.*, d.wet_minutes, d.min_ppm, d.max_ppm, d.withdrawn_at INTO v_bath FROM bath b JOIN disinfectant d ON d.id = b.disinfectant_id
   WHERE b.id = p_bath AND b.site_id = (p_who->>'site')::uuid FOR SHARE OF b;
  IF NOT FOUND THEN RETURN refused('no-such-bath'); END IF;
  IF v_bath.emptied_at IS NOT NULL THEN RETURN refused('bath-emptied'); END IF;
  IF v_bath.withdrawn_at IS NOT NULL THEN RETURN refused('no-such-product'); END IF;
  IF v_at > v_bath.expires_at THEN RETURN refused('bath-expired', jsonb_build_object('expiredAt', v_bath.expires_at)); END IF;
  IF v_bath.ppm NOT BETWEEN v_bath.min_ppm AND v_bath.max_ppm THEN RETURN refused('bath-strength', jsonb_build_object('ppm', v_bath.ppm, 'min', v_bath.min_ppm, 'max', v_bath.max_ppm)); END IF;
  SELECT stop INTO v_stop FROM (
    SELECT coalesce(untouchable(u, (p_who->>'site')::uuid),
      CASE WHEN s.cleaned_seq > s.soiled_seq THEN refused('already-clean', jsonb_build_object('tag', s.tag))
           WHEN w.set_id IS NOT NULL THEN refused('already-washing', jsonb_build_object('tag', s.tag)) END,
      (SELECT refused('product-not-approved', jsonb_build_object('tag', s.tag, 'models', jsonb_agg(m.maker || ' ' || m.name)))
         FROM component_standing k JOIN model m ON m.id = k.model_id
        WHERE k.set_id = u AND NOT EXISTS (SELECT FROM disinfectant_approval a WHERE a.disinfectant_id = v_bath.disinfectant_id AND a.model_id = k.model_id)
        HAVING count(*) > 0)) AS stop
      FROM unnest(p_sets) u LEFT JOIN regulator_set s ON s.id = u
      LEFT JOIN cleaning_run_set w ON w.set_id = u AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL) x
   WHERE stop IS NOT NULL LIMIT 1;
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  INSERT INTO cleaning_run (site_id, bath_id, started_at, started_by, wet_until)
  VALUES ((p_who->>'site')::uuid, p_bath, v_at, (p_who->>'staff')::uuid, v_at + make_interval(mins => v_bath.wet_minutes)) RETURNING id INTO v_run;
  INSERT INTO cleaning_run_set (run_id, set_id, start_seq)
  SELECT v_run, u, append_entry(u, 'wash-started', p_who, v_at, jsonb_build_object('run', v_run, 'bath', p_bath, 'ppm', v_bath.ppm)) FROM unnest(p_sets) u;
  RETURN keep_answer(p_who, 'start-wash', v_body, jsonb_build_object('answer', 'done', 'run', v_run, 'wetUntil', v_at + make_interval(mins => v_bath.wet_minutes)));
END $$;

-- The sets of a run that are still in it, locked.
CREATE FUNCTION lock_run(p_run uuid, p_site uuid) RETURNS uuid[] LANGUAGE plpgsql AS $$
DECLARE v_sets uuid[];
BEGIN
  SELECT coalesce(array_agg(set_id ORDER BY set_id), '{}') INTO v_sets FROM cleaning_run_set w JOIN cleaning_run r ON r.id = w.run_id
   WHERE w.run_id = p_run AND r.site_id = p_site AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL;
  PERFORM lock_sets(v_sets);
  SELECT coalesce(array_agg(set_id ORDER BY set_id), '{}') INTO v_sets FROM cleaning_run_set
   WHERE run_id = p_run AND set_id = ANY (v_sets) AND clean_seq IS NULL AND abandoned_seq IS NULL;
  RETURN v_sets;
END $$;

CREATE FUNCTION end_wet(p_who jsonb, p_run uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('run', p_run);
  v_answer jsonb := first_answer(p_who, 'end-wet', v_body);
  v_sets uuid[];
  v_at timestamptz;
  v_doubt jsonb;
  v_run cleaning_run;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'wash-room');
  v_sets := lock_run(p_run, (p_who->>'site')::uuid);
  v_at := lock_sets(v_sets);
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  SELECT * INTO v_run FROM cleaning_run WHERE id = p_run AND site_id = (p_who->>'site')::uuid FOR UPDATE;
  IF NOT FOUND OR cardinality(v_sets) = 0 THEN RETURN refused('no-such-run'); END IF;
  IF v_run.wet_ended_at IS NOT NULL THEN RETURN refused('already-ended'); END IF;
  IF v_at < v_run.wet_until THEN
    RETURN refused('too-short', jsonb_build_object('wetUntil', v_run.wet_until, 'secondsLeft', ceil(extract(epoch FROM v_run.wet_until - v_at))));
  END IF;
  UPDATE cleaning_run SET wet_ended_at = v_at, dry_from = v_at WHERE id = p_run;
  UPDATE cleaning_run_set SET wet_seq = append_entry(set_id, 'wet-ended', p_who, v_at, v_body) WHERE run_id = p_run AND set_id = ANY (v_sets);
  RETURN keep_answer(p_who, 'end-wet', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- The named sets of a run are rinsed, purged under pressure and dry: clean.
CREATE FUNCTION finish_wash(p_who jsonb, p_run uuid, p_sets uuid[]) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('run', p_run, 'sets', to_jsonb(p_sets));
  v_answer jsonb := first_answer(p_who, 'finish-wash', v_body);
  v_open uuid[];
  v_at timestamptz;
  v_doubt jsonb;
  v_ready timestamptz;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'wash-room');
  v_open := lock_run(p_run, (p_who->>'site')::uuid);
  v_at := lock_sets(v_open);
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  IF cardinality(p_sets) = 0 OR NOT p_sets <@ v_open THEN RETURN refused('no-such-run'); END IF;
  IF EXISTS (SELECT FROM cleaning_run_set WHERE run_id = p_run AND set_id = ANY (p_sets) AND wet_seq IS NULL) THEN RETURN refused('still-in-bath'); END IF;
  SELECT r.dry_from + make_interval(mins => t.drying_minutes) INTO v_ready FROM cleaning_run r JOIN site t ON t.id = r.site_id WHERE r.id = p_run;
  IF v_at < v_ready THEN RETURN refused('still-drying', jsonb_build_object('dryAt', v_ready)); END IF;
  UPDATE cleaning_run_set SET clean_seq = append_entry(set_id, 'cleaned', p_who, v_at, jsonb_build_object('run', p_run)) WHERE run_id = p_run AND set_id = ANY (p_sets);
  UPDATE cleaning_run SET closed_at = v_at WHERE id = p_run AND NOT EXISTS (
    SELECT FROM cleaning_run_set WHERE run_id = p_run AND clean_seq IS NULL AND abandoned_seq IS NULL);
  RETURN keep_answer(p_who, 'finish-wash', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- Takes sets out of a bath or off the rail without a finished wash, or soils a clean one (a breath test).
CREATE FUNCTION soil_set(p_who jsonb, p_set uuid, p_act text, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('set', p_set, 'act', p_act, 'words', p_words);
  v_answer jsonb := first_answer(p_who, 'soil-set', v_body);
  v_at timestamptz;
  v_stop jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk', 'wash-room', 'technician');
  IF p_act NOT IN ('breath-tested', 'wash-abandoned') THEN RAISE EXCEPTION 'soil_set does not know %', p_act; END IF;
  v_at := lock_sets(ARRAY[p_set]);
  v_stop := untouchable(p_set, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF p_act = 'wash-abandoned' AND NOT EXISTS (SELECT FROM cleaning_run_set WHERE set_id = p_set AND clean_seq IS NULL AND abandoned_seq IS NULL) THEN
    RETURN refused('not-washing');
  END IF;
  PERFORM append_entry(p_set, p_act, p_who, v_at, jsonb_build_object('words', p_words));
  RETURN keep_answer(p_who, 'soil-set', v_body, jsonb_build_object('answer', 'done'));
END $$;

CREATE FUNCTION accept_product(p_who jsonb, p_product jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'technician', 'manager');
  INSERT INTO disinfectant (name, strength_hundredths, min_ppm, max_ppm, wet_minutes, bath_hours, label_page, accepted_by)
  VALUES (p_product->>'name', (p_product->>'strengthHundredths')::int, (p_product->>'minPpm')::int, (p_product->>'maxPpm')::int,
          (p_product->>'wetMinutes')::int, (p_product->>'bathHours')::int, p_product->>'labelPage', (p_who->>'staff')::uuid)
  ON CONFLICT (name) DO NOTHING RETURNING id INTO v_id;
  IF v_id IS NULL THEN RETURN refused('name-taken'); END IF;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'product-accepted', p_who, kitroom_clock(), p_product);
  RETURN jsonb_build_object('answer', 'done', 'product', v_id);
END $$;

CREATE FUNCTION approve_product(p_who jsonb, p_product uuid, p_models uuid[], p_page text) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'technician');
  IF NOT EXISTS (SELECT FROM disinfectant WHERE id = p_product AND withdrawn_at IS NULL) THEN RETURN refused('no-such-product'); END IF;
  IF EXISTS (SELECT FROM unnest(p_models) m WHERE NOT EXISTS (SELECT FROM model WHERE id = m)) THEN RETURN refused('no-such-model'); END IF;
  INSERT INTO disinfectant_approval (disinfectant_id, model_id, manual_page, approved_by)
  SELECT p_product, m, p_page, (p_who->>'staff')::uuid FROM unnest(p_models) m ON CONFLICT DO NOTHING;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'product-approved', p_who, kitroom_clock(),
    jsonb_build_object('product', p_product, 'models', to_jsonb(p_models), 'page', p_page));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- ── Models ──────────────────────────────────────────────────────────────────────────────

CREATE FUNCTION add_model(p_who jsonb, p_kind text, p_maker text, p_name text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'technician', 'manager');
  INSERT INTO model (kind, maker, name) VALUES (p_kind, p_maker, p_name) ON CONFLICT DO NOTHING RETURNING id INTO v_id;
  IF v_id IS NULL THEN RETURN refused('name-taken'); END IF;
  RETURN jsonb_build_object('answer', 'done', 'model', v_id);
END $$;

-- Every set with such a component is locked and told, so that no hand-out decided on the old limits goes through.
CREATE FUNCTION accept_limits(p_who jsonb, p_model uuid, p_limits jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_limits || jsonb_build_object('model', p_model);
  v_answer jsonb := first_answer(p_who, 'accept-limits', v_body);
  v_kind text;
  v_sets uuid[];
  v_at timestamptz;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  SELECT kind INTO v_kind FROM model WHERE id = p_model FOR NO KEY UPDATE;
  IF NOT FOUND THEN RETURN refused('no-such-model'); END IF;
  IF v_kind = 'first-stage' AND (p_limits->>'connection' IS NULL OR p_limits->>'maxSupplyBar' IS NULL) THEN RETURN refused('first-stage-needs-connection'); END IF;
  SELECT coalesce(array_agg(DISTINCT f.set_id), '{}') INTO v_sets FROM fitting f JOIN component c ON c.id = f.component_id WHERE c.model_id = p_model AND f.until_at IS NULL;
  v_at := lock_sets(v_sets);
  INSERT INTO model_limits (model_id, nth, service_months, service_dives, service_minutes, has_inspection, inspection_months, inspection_dives,
                            inspection_minutes, max_o2_tenths, cold_rating, connection, max_supply_bar, manual_page, accepted_by)
  SELECT p_model, 1 + coalesce((SELECT max(nth) FROM model_limits WHERE model_id = p_model), 0),
         (p_limits->>'serviceMonths')::int, (p_limits->>'serviceDives')::int, (p_limits->>'serviceMinutes')::int, (p_limits->>'hasInspection')::boolean,
         (p_limits->>'inspectionMonths')::int, (p_limits->>'inspectionDives')::int, (p_limits->>'inspectionMinutes')::int,
         (p_limits->>'maxO2Tenths')::int, p_limits->>'coldRating', p_limits->>'connection', (p_limits->>'maxSupplyBar')::int,
         p_limits->>'manualPage', (p_who->>'staff')::uuid;
  PERFORM append_entry(u, 'limits-accepted', p_who, v_at, v_body) FROM unnest(v_sets) u;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'limits-accepted', p_who, v_at, v_body);
  RETURN keep_answer(p_who, 'accept-limits', v_body, jsonb_build_object('answer', 'done', 'sets', cardinality(v_sets)));
END $$;

CREATE FUNCTION set_pairing(p_who jsonb, p_first uuid, p_second uuid, p_approved boolean, p_page text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('first', p_first, 'second', p_second, 'approved', p_approved, 'page', p_page);
  v_sets uuid[];
  v_at timestamptz;
BEGIN
  PERFORM actor(p_who, 'technician');
  IF NOT EXISTS (SELECT FROM model WHERE id = p_first AND kind = 'first-stage') OR NOT EXISTS (SELECT FROM model WHERE id = p_second AND kind = 'second-stage') THEN
    RETURN refused('no-such-model');
  END IF;
  SELECT coalesce(array_agg(DISTINCT f.set_id), '{}') INTO v_sets FROM fitting f JOIN component c ON c.id = f.component_id
   WHERE c.model_id = p_second AND f.until_at IS NULL AND EXISTS (
     SELECT FROM fitting g JOIN component d ON d.id = g.component_id WHERE g.set_id = f.set_id AND g.until_at IS NULL AND d.model_id = p_first);
  v_at := lock_sets(v_sets);
  IF p_approved THEN
    INSERT INTO pairing (first_model_id, second_model_id, manual_page, approved_by) VALUES (p_first, p_second, p_page, (p_who->>'staff')::uuid) ON CONFLICT DO NOTHING;
  ELSE
    UPDATE pairing SET withdrawn_at = v_at WHERE first_model_id = p_first AND second_model_id = p_second AND withdrawn_at IS NULL;
  END IF;
  PERFORM append_entry(u, 'pairing-changed', p_who, v_at, v_body) FROM unnest(v_sets) u;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'pairing-changed', p_who, coalesce(v_at, kitroom_clock()), v_body);
  RETURN jsonb_build_object('answer', 'done', 'sets', cardinality(v_sets));
END $$;

-- ── Sets ────────────────────────────────────────────────────────────────────────────────

-- p_parts = [{model, serial, position, boughtOn, inUseOn}]: new components, put together under a new tag.
CREATE FUNCTION register_set(p_who jsonb, p_tag text, p_parts jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('tag', p_tag, 'parts', p_parts);
  v_answer jsonb := first_answer(p_who, 'register-set', v_body);
  v_set uuid;
  v_component uuid;
  v_at timestamptz;
  v_part jsonb;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  INSERT INTO regulator_set (tag, site_id) VALUES (p_tag, (p_who->>'site')::uuid) ON CONFLICT (tag) DO NOTHING RETURNING id INTO v_set;
  IF v_set IS NULL THEN RETURN refused('tag-taken', jsonb_build_object('tag', p_tag)); END IF;
  v_at := lock_sets(ARRAY[v_set]);
  v_seq := append_entry(v_set, 'registered', p_who, v_at, v_body);
  FOR v_part IN SELECT x FROM jsonb_array_elements(p_parts) x LOOP
    INSERT INTO component (model_id, site_id, serial, bought_on, in_use_on)
    VALUES ((v_part->>'model')::uuid, (p_who->>'site')::uuid, v_part->>'serial', (v_part->>'boughtOn')::date, (v_part->>'inUseOn')::date)
    ON CONFLICT (model_id, serial) DO NOTHING RETURNING id INTO v_component;
    IF v_component IS NULL THEN RAISE EXCEPTION 'A component with serial % is already recorded', v_part->>'serial' USING ERRCODE = 'HR400'; END IF;
    INSERT INTO fitting (set_id, component_id, position, from_seq, from_at) VALUES (v_set, v_component, v_part->>'position', v_seq, v_at);
  END LOOP;
  RETURN keep_answer(p_who, 'register-set', v_body, jsonb_build_object('answer', 'done', 'set', v_set));
END $$;

CREATE FUNCTION take_off(p_set uuid, p_component uuid, p_who jsonb, p_at timestamptz, p_why text) RETURNS boolean LANGUAGE plpgsql AS $$
DECLARE v_fitting fitting;
BEGIN
  SELECT * INTO v_fitting FROM fitting WHERE set_id = p_set AND component_id = p_component AND until_at IS NULL FOR UPDATE;
  IF NOT FOUND THEN RETURN false; END IF;
  UPDATE fitting SET until_at = greatest(p_at, from_at), until_seq = append_entry(p_set, 'removed', p_who, p_at,
    jsonb_build_object('component', p_component, 'position', v_fitting.position, 'why', p_why)) WHERE id = v_fitting.id;
  RETURN true;
END $$;

-- Swaps: takes `p_off` off (or nothing) and fits `p_on` (or nothing) at a position. Both sets' histories stay as they were.
CREATE FUNCTION refit(p_who jsonb, p_set uuid, p_off uuid, p_on uuid, p_position text, p_why text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('set', p_set, 'off', p_off, 'on', p_on, 'position', p_position, 'why', p_why);
  v_answer jsonb := first_answer(p_who, 'refit', v_body);
  v_at timestamptz;
  v_stop jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  v_at := lock_sets(ARRAY[p_set]);
  v_stop := untouchable(p_set, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF p_on IS NOT NULL THEN
    PERFORM FROM component WHERE id = p_on AND site_id = (p_who->>'site')::uuid FOR UPDATE;
    IF NOT FOUND THEN RETURN refused('no-such-component'); END IF;
    IF EXISTS (SELECT FROM fitting WHERE component_id = p_on AND until_at IS NULL) THEN RETURN refused('fitted-elsewhere'); END IF;
    -- A fault stays with the set it was reported of; the component must not slip away from it into another.
    IF EXISTS (SELECT FROM fault WHERE component_id = p_on AND set_id <> p_set AND cleared_at IS NULL AND severity IN ('out', 'hold')) THEN RETURN refused('part-has-fault'); END IF;
  END IF;
  IF p_on IS NOT NULL AND p_position IN ('first-stage', 'primary') AND EXISTS (
    SELECT FROM fitting WHERE set_id = p_set AND position = p_position AND until_at IS NULL AND component_id IS DISTINCT FROM p_off) THEN
    RETURN refused('position-taken');
  END IF;
  IF p_off IS NOT NULL AND NOT take_off(p_set, p_off, p_who, v_at, p_why) THEN RETURN refused('not-fitted'); END IF;
  IF p_on IS NOT NULL THEN
    INSERT INTO fitting (set_id, component_id, position, from_seq, from_at)
    SELECT p_set, p_on, p_position, append_entry(p_set, 'fitted', p_who, v_at, v_body), greatest(v_at, (SELECT max(until_at) FROM fitting WHERE component_id = p_on));
  END IF;
  RETURN keep_answer(p_who, 'refit', v_body, jsonb_build_object('answer', 'done'));
END $$;

CREATE FUNCTION retire_set(p_who jsonb, p_set uuid, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('set', p_set, 'words', p_words);
  v_answer jsonb := first_answer(p_who, 'retire', v_body);
  v_at timestamptz;
  v_stop jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  v_stop := untouchable(p_set, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  PERFORM append_entry(p_set, 'retired', p_who, v_at, v_body);
  RETURN keep_answer(p_who, 'retire', v_body, jsonb_build_object('answer', 'done'));
END $$;

CREATE FUNCTION transfer_set(p_who jsonb, p_set uuid, p_to uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('set', p_set, 'to', p_to);
  v_answer jsonb := first_answer(p_who, 'transfer', v_body);
  v_at timestamptz;
  v_stop jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  v_stop := untouchable(p_set, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF NOT EXISTS (SELECT FROM site WHERE id = p_to) THEN RETURN refused('no-such-site'); END IF;
  PERFORM append_entry(p_set, 'transferred', p_who, v_at, v_body);
  PERFORM move_set(p_set, p_to, p_who);
  RETURN keep_answer(p_who, 'transfer', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- The set's home is part of the transfer act: its own number counts one more, with its own entry at the new site.
CREATE FUNCTION move_set(p_set uuid, p_to uuid, p_who jsonb) RETURNS void LANGUAGE plpgsql AS $$
DECLARE v_seq int; v_at timestamptz;
BEGIN
  UPDATE regulator_set SET site_id = p_to, seq = seq + 1, soiled_seq = seq + 1, unreleased_seq = seq + 1 WHERE id = p_set RETURNING seq, last_at INTO v_seq, v_at;
  UPDATE component SET site_id = p_to WHERE id IN (SELECT component_id FROM fitting WHERE set_id = p_set AND until_at IS NULL);
  INSERT INTO record_entry (site_id, set_id, seq, act, at, by, device_id, request_id, content)
  VALUES (p_to, p_set, v_seq, 'transferred', v_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid, jsonb_build_object('arrived', p_to));
END $$;

-- ── Work and release ────────────────────────────────────────────────────────────────────

-- p_work = {kind, components: [uuid], oxygenClean, words}
CREATE FUNCTION record_work(p_who jsonb, p_set uuid, p_work jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_work || jsonb_build_object('set', p_set);
  v_answer jsonb := first_answer(p_who, 'record-work', v_body);
  v_at timestamptz;
  v_today date;
  v_doubt jsonb;
  v_stop jsonb;
  v_makers jsonb;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  v_at := lock_sets(ARRAY[p_set]);
  -- Work dated by a clock that runs ahead would put off the next; dated by one that runs behind, it could lean on an authorisation that has ended.
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  v_stop := untouchable(p_set, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  v_today := site_today((p_who->>'site')::uuid, v_at);
  IF EXISTS (SELECT FROM jsonb_array_elements_text(p_work->'components') x WHERE NOT EXISTS (
    SELECT FROM fitting WHERE set_id = p_set AND component_id = x::uuid AND until_at IS NULL)) THEN RETURN refused('not-fitted'); END IF;
  SELECT jsonb_agg(DISTINCT m.maker) INTO v_makers FROM jsonb_array_elements_text(p_work->'components') x
    JOIN component c ON c.id = x::uuid JOIN model m ON m.id = c.model_id
   WHERE NOT is_authorised((p_who->>'staff')::uuid, m.maker, v_today, (p_work->>'oxygenClean')::boolean);
  IF v_makers IS NOT NULL THEN RETURN refused('not-authorised', jsonb_build_object('makers', v_makers, 'on', v_today)); END IF;
  v_seq := append_entry(p_set, CASE p_work->>'kind' WHEN 'service' THEN 'serviced' WHEN 'inspection' THEN 'inspected' ELSE 'bedding-checked' END, p_who, v_at, v_body);
  PERFORM note_work(x::uuid, p_set, v_seq, p_work->>'kind', v_today, NULL, NULL, (p_work->>'oxygenClean')::boolean, false, p_work->>'words', (p_who->>'staff')::uuid, v_at)
     FROM jsonb_array_elements_text(p_work->'components') x;
  RETURN keep_answer(p_who, 'record-work', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- One piece of work on one component, and its reading then (the present reading unless given).
CREATE FUNCTION note_work(p_component uuid, p_set uuid, p_seq int, p_kind text, p_done_on date, p_dives int, p_minutes int,
                          p_oxygen boolean, p_imported boolean, p_words text, p_by uuid, p_at timestamptz,
                          p_reading_known boolean DEFAULT false, p_facts jsonb DEFAULT NULL) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
  c component;
  w component_work;
  v_service boolean;
  v_inspection boolean;
  v_check boolean;
  v_bedding boolean;
BEGIN
  SELECT * INTO STRICT c FROM component WHERE id = p_component;
  INSERT INTO component_work (component_id, set_id, seq, kind, done_on, dives_at, minutes_at, taught_at, oxygen_clean, imported, words, facts, done_by, at)
  VALUES (p_component, p_set, p_seq, p_kind, p_done_on, coalesce(p_dives, c.dives_total), coalesce(p_minutes, c.minutes_total),
          -- Teaching that is not known to lie before work brought in from elsewhere lies after it.
          CASE WHEN p_imported THEN (SELECT count(*) FROM component_use u WHERE u.component_id = p_component AND u.taught AND u.used_on < p_done_on)::int ELSE c.taught_total END,
          p_oxygen, p_imported, p_words, p_facts, p_by, p_at)
  ON CONFLICT DO NOTHING RETURNING * INTO w;
  IF w.id IS NULL THEN RETURN; END IF;
  -- Work dated before what is known already is history, and moves no reading.
  v_service    := p_kind = 'service' AND coalesce(c.serviced_on <= p_done_on, true);
  v_inspection := p_kind = 'inspection' AND coalesce(c.inspected_on <= p_done_on, true);
  v_check      := p_kind IN ('service', 'inspection') AND coalesce(c.checked_on <= p_done_on, true);
  v_bedding    := p_kind = 'bedding-check' AND coalesce(c.bedding_on <= p_done_on, true);
  UPDATE component SET
    serviced_on      = CASE WHEN v_service THEN p_done_on ELSE serviced_on END,
    serviced_dives   = CASE WHEN v_service THEN w.dives_at ELSE serviced_dives END,
    serviced_minutes = CASE WHEN v_service THEN w.minutes_at ELSE serviced_minutes END,
    serviced_taught  = CASE WHEN v_service THEN w.taught_at ELSE serviced_taught END,
    -- A service starts every count afresh; past work tells the count only if its own reading was written down.
    counts_known     = counts_known OR (v_service AND (NOT p_imported OR (p_dives IS NOT NULL AND p_reading_known))),
    inspected_on     = CASE WHEN v_inspection THEN p_done_on ELSE inspected_on END,
    checked_on       = CASE WHEN v_check THEN p_done_on ELSE checked_on END,
    checked_dives    = CASE WHEN v_check THEN w.dives_at ELSE checked_dives END,
    checked_minutes  = CASE WHEN v_check THEN w.minutes_at ELSE checked_minutes END,
    bedding_on       = CASE WHEN v_bedding THEN p_done_on ELSE bedding_on END
   WHERE id = p_component;
END $$;

-- Releases sets for hire: a separate act from the work, by a technician authorised for the makers of the breathing path.
CREATE FUNCTION release_sets(p_who jsonb, p_sets uuid[], p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('sets', to_jsonb(p_sets), 'words', p_words);
  v_answer jsonb := first_answer(p_who, 'release', v_body);
  v_at timestamptz;
  v_today date;
  v_doubt jsonb;
  v_stop jsonb;
  v_makers jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  IF cardinality(p_sets) IS DISTINCT FROM (SELECT count(DISTINCT u) FROM unnest(p_sets) u)::int OR cardinality(p_sets) = 0 THEN RETURN refused('same-set-twice'); END IF;
  v_at := lock_sets(p_sets);
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  v_today := site_today((p_who->>'site')::uuid, v_at);
  SELECT stop INTO v_stop FROM (SELECT coalesce(untouchable(u, (p_who->>'site')::uuid),
      CASE WHEN s.released_seq > s.unreleased_seq THEN refused('already-released', jsonb_build_object('tag', s.tag)) END) AS stop
    FROM unnest(p_sets) u LEFT JOIN regulator_set s ON s.id = u) x WHERE stop IS NOT NULL LIMIT 1;
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  SELECT jsonb_agg(DISTINCT m.maker) INTO v_makers FROM component_standing k JOIN model m ON m.id = k.model_id
   WHERE k.set_id = ANY (p_sets) AND k.position IN ('first-stage', 'primary', 'alternate')
     AND NOT is_authorised((p_who->>'staff')::uuid, m.maker, v_today, false);
  IF v_makers IS NOT NULL THEN RETURN refused('not-authorised', jsonb_build_object('makers', v_makers, 'on', v_today)); END IF;
  INSERT INTO release (set_id, seq, words, released_by, released_at)
  SELECT u, append_entry(u, 'released', p_who, v_at, jsonb_build_object('words', p_words)), p_words, (p_who->>'staff')::uuid, v_at FROM unnest(p_sets) u;
  RETURN keep_answer(p_who, 'release', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- ── Notices ─────────────────────────────────────────────────────────────────────────────

-- p_matches = [{component, state: open | check}], found by packages/rules. A component in a set that is out is held too.
CREATE FUNCTION open_notice(p_who jsonb, p_notice jsonb, p_matches jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('notice', p_notice, 'matches', p_matches);
  v_answer jsonb := first_answer(p_who, 'open-notice', v_body);
  v_sets uuid[];
  v_at timestamptz;
  v_id uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  SELECT coalesce(array_agg(DISTINCT f.set_id), '{}') INTO v_sets FROM jsonb_array_elements(p_matches) x JOIN fitting f ON f.component_id = (x->>'component')::uuid AND f.until_at IS NULL;
  v_at := coalesce(lock_sets(v_sets), kitroom_clock());
  INSERT INTO notice (title, reference, hazard, remedy, published_on, entered_by)
  VALUES (p_notice->>'title', p_notice->>'reference', p_notice->>'hazard', p_notice->>'remedy', (p_notice->>'publishedOn')::date, (p_who->>'staff')::uuid) RETURNING id INTO v_id;
  INSERT INTO notice_match (notice_id, component_id, state, matched_at) SELECT v_id, (x->>'component')::uuid, x->>'state', v_at FROM jsonb_array_elements(p_matches) x;
  PERFORM append_entry(u, 'notice-opened', p_who, v_at, jsonb_build_object('notice', v_id, 'reference', p_notice->>'reference')) FROM unnest(v_sets) u;
  RETURN keep_answer(p_who, 'open-notice', v_body, jsonb_build_object('answer', 'done', 'notice', v_id, 'sets', cardinality(v_sets)));
END $$;

CREATE FUNCTION clear_notice(p_who jsonb, p_notice uuid, p_component uuid, p_remedy text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_set uuid;
  v_at timestamptz;
BEGIN
  PERFORM actor(p_who, 'technician');
  IF NOT EXISTS (SELECT FROM component WHERE id = p_component AND site_id = (p_who->>'site')::uuid) THEN RETURN refused('no-such-component'); END IF;
  SELECT set_id INTO v_set FROM fitting WHERE component_id = p_component AND until_at IS NULL;
  v_at := lock_sets(ARRAY[v_set]);
  IF EXISTS (SELECT FROM regulator_set WHERE id = v_set AND evidence_seq IS NOT NULL) THEN RETURN refused('evidence-lock'); END IF;
  UPDATE notice_match SET cleared_at = v_at, cleared_by = (p_who->>'staff')::uuid, remedy_done = p_remedy
   WHERE notice_id = p_notice AND component_id = p_component AND cleared_at IS NULL;
  IF NOT FOUND THEN RETURN refused('already-cleared'); END IF;
  IF v_set IS NOT NULL THEN
    PERFORM append_entry(v_set, 'notice-cleared', p_who, v_at, jsonb_build_object('notice', p_notice, 'component', p_component));
  END IF;
  RETURN jsonb_build_object('answer', 'done');
END $$;
