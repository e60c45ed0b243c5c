-- The plan: what is booked, how many hours the bench has, and the service batches a manager accepted.

-- Sets of one kind asked for on every day from `from_on` to `until_on`, both included.
CREATE TABLE booking (
  id           uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id      uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  from_on      date NOT NULL,
  until_on     date NOT NULL CHECK (until_on >= from_on AND until_on - from_on <= 366),
  connection   text CHECK (connection IN ('yoke', 'din-232', 'din-300', 'm26')),
  cold         boolean NOT NULL,
  o2_tenths    int NOT NULL CHECK (o2_tenths BETWEEN 210 AND 1000),
  teaching     boolean NOT NULL,
  sets         int NOT NULL CHECK (sets BETWEEN 1 AND 1000),
  words        text NOT NULL,
  source       text NOT NULL CHECK (source IN ('typed', 'sheet', 'past-hires')),
  made_by      uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  made_at      timestamptz NOT NULL,
  withdrawn_at timestamptz,
  withdrawn_by uuid REFERENCES staff ON DELETE RESTRICT,
  CHECK ((withdrawn_at IS NULL) = (withdrawn_by IS NULL))
);
CREATE INDEX booking_by_day ON booking (site_id, until_on) WHERE withdrawn_at IS NULL;

-- A technician's minutes at the bench: in one week (its Monday), or in every week without a row of its own. The newest counts.
CREATE TABLE bench_hours (
  id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  site_id  uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  staff_id uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  week_on  date CHECK (extract(isodow FROM week_on) = 1),
  minutes  int NOT NULL CHECK (minutes BETWEEN 0 AND 6000),
  words    text NOT NULL,
  set_by   uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  set_at   timestamptz NOT NULL DEFAULT kitroom_clock()
);
CREATE INDEX bench_hours_newest ON bench_hours (site_id, staff_id, week_on, id);

-- An accepted plan, with how good it was proved to be: cost of the plan and proven lower bound in thousandths of a point, and the gap between
-- them in parts per million.
CREATE TABLE plan (
  id          uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  -- The order of acceptance; of a site the highest counts.
  nth         bigint GENERATED ALWAYS AS IDENTITY,
  site_id     uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  from_on     date NOT NULL CHECK (extract(isodow FROM from_on) = 1),
  weeks       int  NOT NULL CHECK (weeks BETWEEN 1 AND 60),
  cost        bigint NOT NULL,
  bound       bigint NOT NULL,
  gap_ppm     int NOT NULL CHECK (gap_ppm >= 0),
  settings    jsonb NOT NULL,
  words       text NOT NULL,
  accepted_by uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  accepted_at timestamptz NOT NULL
);
CREATE INDEX plan_newest ON plan (site_id, nth);

CREATE TABLE plan_line (
  plan_id  uuid NOT NULL REFERENCES plan ON DELETE RESTRICT,
  set_id   uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  -- How many acts the set had lived through when the plan was accepted, its order included.
  seq      int NOT NULL,
  week_on  date NOT NULL CHECK (extract(isodow FROM week_on) = 1),
  locked   boolean NOT NULL,
  why      jsonb NOT NULL,
  order_id uuid NOT NULL REFERENCES work_order ON DELETE RESTRICT,
  PRIMARY KEY (plan_id, set_id)
);

-- An address at which a calendar program reads the site's plan. Only the hash of its secret is kept.
CREATE TABLE calendar_feed (
  id         uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id    uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  token_hash bytea NOT NULL UNIQUE,
  words      text NOT NULL,
  made_by    uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  made_at    timestamptz NOT NULL DEFAULT kitroom_clock(),
  revoked_at timestamptz
);

INSERT INTO act_kind (act, soils, ends_release, asks_test) VALUES
  ('booking-made',      false, false, false),
  ('booking-withdrawn', false, false, false),
  ('bench-hours-set',   false, false, false),
  ('plan-accepted',     false, false, false),
  ('calendar-opened',   false, false, false),
  ('calendar-revoked',  false, false, false);

DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['booking','bench_hours','plan','plan_line','calendar_feed'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE DELETE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_delete', t);
    EXECUTE format('CREATE TRIGGER %I BEFORE TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION history_stands()', t || '_no_truncate', t);
  END LOOP;
  FOREACH t IN ARRAY ARRAY['bench_hours','plan','plan_line'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE UPDATE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_update', t);
  END LOOP;
END $$;
CREATE TRIGGER booking_fill BEFORE UPDATE ON booking FOR EACH ROW EXECUTE FUNCTION fill_once('withdrawn_at', 'withdrawn_by');
CREATE TRIGGER calendar_feed_fill BEFORE UPDATE ON calendar_feed FOR EACH ROW EXECUTE FUNCTION fill_once('revoked_at');

-- p_bookings = [{fromOn, untilOn, connection, cold, o2Tenths, teaching, sets, words, source}], all or none.
CREATE FUNCTION make_bookings(p_who jsonb, p_bookings jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_answer jsonb := first_answer(p_who, 'make-bookings', p_bookings);
  v_at timestamptz := kitroom_clock();
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk', 'manager');
  INSERT INTO booking (site_id, from_on, until_on, connection, cold, o2_tenths, teaching, sets, words, source, made_by, made_at)
  SELECT (p_who->>'site')::uuid, (b->>'fromOn')::date, (b->>'untilOn')::date, b->>'connection', (b->>'cold')::boolean, (b->>'o2Tenths')::int,
         (b->>'teaching')::boolean, (b->>'sets')::int, b->>'words', b->>'source', (p_who->>'staff')::uuid, v_at FROM jsonb_array_elements(p_bookings) b;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'booking-made', p_who, v_at, jsonb_build_object('bookings', p_bookings));
  RETURN keep_answer(p_who, 'make-bookings', p_bookings, jsonb_build_object('answer', 'done', 'bookings', jsonb_array_length(p_bookings)));
END $$;

CREATE FUNCTION withdraw_booking(p_who jsonb, p_booking uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'desk', 'manager');
  UPDATE booking SET withdrawn_at = kitroom_clock(), withdrawn_by = (p_who->>'staff')::uuid
   WHERE id = p_booking AND site_id = (p_who->>'site')::uuid AND withdrawn_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-booking'); END IF;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'booking-withdrawn', p_who, kitroom_clock(), jsonb_build_object('booking', p_booking));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- p_hours = {staff, weekOn or null for every week, minutes, words}
CREATE FUNCTION set_bench_hours(p_who jsonb, p_hours jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager');
  IF NOT EXISTS (SELECT FROM staff_role WHERE staff_id = (p_hours->>'staff')::uuid AND site_id = (p_who->>'site')::uuid AND role = 'technician' AND until_at IS NULL) THEN
    RETURN refused('not-a-technician');
  END IF;
  INSERT INTO bench_hours (site_id, staff_id, week_on, minutes, words, set_by)
  VALUES ((p_who->>'site')::uuid, (p_hours->>'staff')::uuid, (p_hours->>'weekOn')::date, (p_hours->>'minutes')::int, p_hours->>'words', (p_who->>'staff')::uuid);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'bench-hours-set', p_who, kitroom_clock(), p_hours);
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- p_plan = {fromOn, weeks, cost, bound, gapPpm, settings, words, lines: [{set, seq, kind: service | inspection, weekOn, locked, why}]}. Refused as a
-- whole when a set has lived through anything since the plan was made on it: {"answer": "stale", "sets": [{id, seq, tag}]}; it is then looked at
-- again. The newest plan alone counts: orders that an earlier plan opened, that nobody has taken and that this one does not name, are dropped.
-- Orders somebody opened by hand stay. The week of an order is that of its line in the newest plan.
CREATE FUNCTION accept_plan(p_who jsonb, p_plan jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  -- What the person asked for; how good it is was reckoned, and may be reckoned anew for a repeat.
  v_body jsonb := jsonb_build_object('fromOn', p_plan->'fromOn', 'weeks', p_plan->'weeks', 'words', p_plan->'words', 'lines',
    (SELECT jsonb_agg(jsonb_build_object('set', x->'set', 'seq', x->'seq', 'weekOn', x->'weekOn', 'locked', x->'locked') ORDER BY x->>'set') FROM jsonb_array_elements(p_plan->'lines') x));
  v_answer jsonb := first_answer(p_who, 'accept-plan', v_body);
  v_site uuid := (p_who->>'site')::uuid;
  v_ids uuid[];
  v_dropped uuid[];
  v_at timestamptz;
  v_stale jsonb;
  v_id uuid := gen_random_uuid();
  v_line jsonb;
  v_order uuid;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'manager');
  -- Two plans of one site are accepted one after the other, so that the later sees the orders of the earlier. A lock of its own: whoever
  -- changes the site's policy holds its sets first and then its row, and the two would wait for each other.
  PERFORM pg_advisory_xact_lock(hashtextextended(v_site::text, 6));
  SELECT coalesce(array_agg((x->>'set')::uuid), '{}') INTO v_ids FROM jsonb_array_elements(p_plan->'lines') x;
  IF cardinality(v_ids) <> (SELECT count(DISTINCT u) FROM unnest(v_ids) u) THEN RETURN refused('same-set-twice'); END IF;
  SELECT coalesce(array_agg(DISTINCT o.id), '{}') INTO v_dropped FROM plan p JOIN plan_line l ON l.plan_id = p.id JOIN work_order o ON o.id = l.order_id JOIN regulator_set s ON s.id = o.set_id
   WHERE p.site_id = v_site AND s.site_id = v_site AND o.taken_at IS NULL AND o.done_at IS NULL
     AND EXISTS (SELECT FROM plan f JOIN plan_line fl ON fl.plan_id = f.id WHERE fl.order_id = o.id AND f.accepted_at = o.opened_at)
     AND NOT EXISTS (SELECT FROM jsonb_array_elements(p_plan->'lines') x WHERE (x->>'set')::uuid = o.set_id AND x->>'kind' = o.kind);
  v_at := coalesce(lock_sets(v_ids || ARRAY(SELECT set_id FROM work_order WHERE id = ANY (v_dropped))), kitroom_clock());
  IF EXISTS (SELECT FROM unnest(v_ids) u LEFT JOIN regulator_set s ON s.id = u WHERE s.site_id IS DISTINCT FROM v_site OR s.retired_seq IS NOT NULL) THEN RETURN refused('no-such-set'); END IF;
  SELECT jsonb_agg(jsonb_build_object('id', s.id, 'seq', s.seq, 'tag', s.tag) ORDER BY s.tag) INTO v_stale
    FROM jsonb_array_elements(p_plan->'lines') x JOIN regulator_set s ON s.id = (x->>'set')::uuid WHERE s.seq <> (x->>'seq')::int;
  IF v_stale IS NOT NULL THEN RETURN jsonb_build_object('answer', 'stale', 'sets', v_stale); END IF;
  IF EXISTS (SELECT FROM regulator_set WHERE id = ANY (v_ids) AND evidence_seq IS NOT NULL) THEN
    RETURN refused('evidence-lock', (SELECT jsonb_build_object('tag', tag) FROM regulator_set WHERE id = ANY (v_ids) AND evidence_seq IS NOT NULL ORDER BY tag LIMIT 1));
  END IF;
  INSERT INTO plan (id, site_id, from_on, weeks, cost, bound, gap_ppm, settings, words, accepted_by, accepted_at)
  VALUES (v_id, v_site, (p_plan->>'fromOn')::date, (p_plan->>'weeks')::int, (p_plan->>'cost')::bigint, (p_plan->>'bound')::bigint,
          (p_plan->>'gapPpm')::int, p_plan->'settings', p_plan->>'words', (p_who->>'staff')::uuid, v_at);
  FOR v_line IN SELECT x FROM jsonb_array_elements(p_plan->'lines') x ORDER BY x->>'set' LOOP
    -- Work already asked for keeps its order; the plan says in which week.
    SELECT id INTO v_order FROM work_order WHERE set_id = (v_line->>'set')::uuid AND kind = v_line->>'kind' AND done_at IS NULL;
    IF NOT FOUND THEN
      v_order := add_order((v_line->>'set')::uuid, p_who, v_at, jsonb_build_object('kind', v_line->>'kind', 'fault', NULL, 'notice', NULL, 'weekOn', v_line->>'weekOn', 'words', ''));
    END IF;
    INSERT INTO plan_line (plan_id, set_id, seq, week_on, locked, why, order_id)
    SELECT v_id, s.id, s.seq, (v_line->>'weekOn')::date, (v_line->>'locked')::boolean, v_line->'why', v_order FROM regulator_set s WHERE s.id = (v_line->>'set')::uuid;
  END LOOP;
  -- What somebody took before the lock stays his.
  FOR v_order IN SELECT id FROM work_order WHERE id = ANY (v_dropped) AND taken_at IS NULL AND done_at IS NULL ORDER BY set_id LOOP
    SELECT append_entry(set_id, 'order-done', p_who, v_at, jsonb_build_object('order', v_order, 'outcome', 'dropped', 'minutes', NULL, 'words', 'No longer in the plan')) INTO v_seq FROM work_order WHERE id = v_order;
    UPDATE work_order SET done_seq = v_seq, done_at = v_at, done_by = (p_who->>'staff')::uuid, outcome = 'dropped', done_words = 'No longer in the plan' WHERE id = v_order;
  END LOOP;
  PERFORM append_site_entry(v_site, 'plan-accepted', p_who, v_at, (p_plan - 'settings') || jsonb_build_object('plan', v_id));
  RETURN keep_answer(p_who, 'accept-plan', v_body, jsonb_build_object('answer', 'done', 'plan', v_id, 'orders', cardinality(v_ids)));
END $$;

CREATE FUNCTION open_calendar(p_who jsonb, p_token_hash bytea, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'manager', 'technician');
  INSERT INTO calendar_feed (site_id, token_hash, words, made_by) VALUES ((p_who->>'site')::uuid, p_token_hash, p_words, (p_who->>'staff')::uuid) RETURNING id INTO v_id;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'calendar-opened', p_who, kitroom_clock(), jsonb_build_object('feed', v_id, 'words', p_words));
  RETURN jsonb_build_object('answer', 'done', 'feed', v_id);
END $$;

CREATE FUNCTION revoke_calendar(p_who jsonb, p_feed uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager', 'technician');
  UPDATE calendar_feed SET revoked_at = kitroom_clock() WHERE id = p_feed AND site_id = (p_who->>'site')::uuid AND revoked_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-feed'); END IF;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'calendar-revoked', p_who, kitroom_clock(), jsonb_build_object('feed', p_feed));
  RETURN jsonb_build_object('answer', 'done');
END $$;

DO $$
DECLARE f record;
BEGIN
  GRANT SELECT ON booking, bench_hours, plan, plan_line, calendar_feed TO hangrail_app;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'make_bookings', 'withdraw_booking', 'set_bench_hours', 'accept_plan', 'open_calendar', 'revoke_calendar']) LOOP
    EXECUTE format('REVOKE ALL ON FUNCTION %s FROM PUBLIC', f.name);
    EXECUTE format('ALTER FUNCTION %s SECURITY DEFINER SET search_path = public, pg_temp', f.name);
    EXECUTE format('ALTER FUNCTION %s SET plan_cache_mode = force_generic_plan', f.name);
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
END $$;
