-- The acts of the bench: faults confirmed, work orders, bench tests, kits, test gauges, notices by serial
-- range, a sealed set's custody, and a release that asks for a passed test.

INSERT INTO act_kind (act, soils, ends_release, asks_test) VALUES
  ('fault-confirmed',     false, false, false),
  ('photo-added',         false, false, false),
  ('bench-test-failed',   true,  true,  true),
  ('order-opened',        false, false, false),
  ('order-taken',         true,  true,  false),
  ('order-parked',        false, false, false),
  ('order-resumed',       false, false, false),
  ('order-done',          false, false, false),
  ('custody-noted',       false, false, false),
  ('evidence-lifted',     true,  true,  true),
  ('severity-tuned',      false, false, false),
  ('bench-limit-accepted', false, false, false),
  ('build-accepted',      false, false, false),
  ('kits-accepted',       false, false, false),
  ('kit-added',           false, false, false),
  ('kit-moved',           false, false, false),
  ('kit-ordered',         false, false, false),
  ('kit-order-closed',    false, false, false),
  ('gauge-added',         false, false, false),
  ('gauge-calibrated',    false, false, false),
  ('gauge-retired',       false, false, false),
  ('money-set',           false, false, false);
UPDATE act_kind SET asks_test = true WHERE act IN ('fitted', 'removed', 'opened', 'serviced');

-- What was opened, refitted or serviced before there were tests has been released since, or still waits for it.
ALTER TABLE regulator_set DISABLE TRIGGER regulator_set_seq;
UPDATE regulator_set s SET retest_seq = coalesce((SELECT max(seq) FROM record_entry e WHERE e.set_id = s.id AND e.act IN ('fitted', 'removed', 'opened', 'serviced')), 0);
ALTER TABLE regulator_set ENABLE TRIGGER regulator_set_seq;

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
  VALUES (home, p_set, new_seq, p_act, p_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid, p_content);
  -- Whatever soils a set takes it out of the bath or off the drying rail: that wash no longer counts.
  -- A set that is sealed or retired is not washed on either.
  IF kind.soils OR p_act IN ('evidence-locked', 'retired') THEN
    UPDATE cleaning_run_set SET abandoned_seq = new_seq WHERE set_id = p_set AND clean_seq IS NULL AND abandoned_seq IS NULL;
  END IF;
  RETURN new_seq;
END $$;

-- ── Faults ──────────────────────────────────────────────────────────────────────────────

-- The technician has seen it: what it is, and of which component. p_found = {code, component, words}.
CREATE FUNCTION confirm_fault(p_who jsonb, p_fault uuid, p_found jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_found || jsonb_build_object('fault', p_fault);
  v_answer jsonb := first_answer(p_who, 'confirm-fault', v_body);
  v_at timestamptz;
  v_fault fault;
  v_stop jsonb;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  SELECT f.* INTO v_fault FROM fault f JOIN regulator_set s ON s.id = f.set_id WHERE f.id = p_fault AND s.site_id = (p_who->>'site')::uuid;
  IF NOT FOUND THEN RETURN refused('no-such-fault'); END IF;
  v_at := lock_sets(ARRAY[v_fault.set_id]);
  SELECT * INTO v_fault FROM fault WHERE id = p_fault;
  v_stop := untouchable(v_fault.set_id, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF v_fault.cleared_at IS NOT NULL THEN RETURN refused('already-cleared'); END IF;
  IF v_fault.confirmed_at IS NOT NULL THEN RETURN refused('already-confirmed'); END IF;
  IF p_found->>'component' IS NOT NULL AND NOT EXISTS (
    SELECT FROM fitting WHERE set_id = v_fault.set_id AND component_id = (p_found->>'component')::uuid AND (until_at IS NULL OR until_at >= v_fault.reported_at)) THEN
    RETURN refused('not-fitted');
  END IF;
  v_seq := append_entry(v_fault.set_id, 'fault-confirmed', p_who, v_at, v_body - 'words');
  UPDATE fault SET confirm_seq = v_seq, confirmed_at = v_at, confirmed_by = (p_who->>'staff')::uuid, found_code = p_found->>'code',
    found_component = coalesce((p_found->>'component')::uuid, component_id), found_words = p_found->>'words' WHERE id = p_fault;
  RETURN keep_answer(p_who, 'confirm-fault', v_body, '{"answer": "done"}');
END $$;

CREATE FUNCTION add_photo(p_who jsonb, p_fault uuid, p_media text, p_bytes bytea) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('fault', p_fault, 'media', p_media, 'sha256', encode(sha256(p_bytes), 'hex'));
  v_answer jsonb := first_answer(p_who, 'add-photo', v_body);
  v_set uuid;
  v_at timestamptz;
  v_id uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk', 'wash-room', 'technician', 'manager');
  SELECT f.set_id INTO v_set FROM fault f JOIN regulator_set s ON s.id = f.set_id WHERE f.id = p_fault AND s.site_id = (p_who->>'site')::uuid;
  IF NOT FOUND THEN RETURN refused('no-such-fault'); END IF;
  v_at := lock_sets(ARRAY[v_set]);
  IF (SELECT count(*) FROM fault_photo WHERE fault_id = p_fault) >= 6 THEN RETURN refused('enough-photos'); END IF;
  -- A photograph touches nothing, so it may be added to a sealed set as well.
  PERFORM append_entry(v_set, 'photo-added', p_who, v_at, v_body);
  INSERT INTO fault_photo (fault_id, media_type, bytes, taken_by, taken_at) VALUES (p_fault, p_media, p_bytes, (p_who->>'staff')::uuid, v_at) RETURNING id INTO v_id;
  RETURN keep_answer(p_who, 'add-photo', v_body, jsonb_build_object('answer', 'done', 'photo', v_id));
END $$;

CREATE FUNCTION tune_fault(p_who jsonb, p_code text, p_severity text) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager');
  INSERT INTO fault_tuning (site_id, code, severity, set_by) VALUES ((p_who->>'site')::uuid, p_code, p_severity, (p_who->>'staff')::uuid);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'severity-tuned', p_who, kitroom_clock(), jsonb_build_object('code', p_code, 'severity', p_severity));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- ── Models ──────────────────────────────────────────────────────────────────────────────

-- p_limits = [{name, low, high, page}]. Judges tests from now on; a test already recorded keeps its verdict.
CREATE FUNCTION accept_bench_limits(p_who jsonb, p_model uuid, p_limits jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('model', p_model, 'limits', p_limits);
  v_answer jsonb := first_answer(p_who, 'accept-bench-limits', v_body);
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  PERFORM FROM model WHERE id = p_model FOR NO KEY UPDATE;
  IF NOT FOUND THEN RETURN refused('no-such-model'); END IF;
  INSERT INTO bench_limit (model_id, name, nth, low, high, manual_page, accepted_by)
  SELECT p_model, x->>'name', 1 + coalesce((SELECT max(nth) FROM bench_limit b WHERE b.model_id = p_model AND b.name = x->>'name'), 0),
         (x->>'low')::int, (x->>'high')::int, x->>'page', (p_who->>'staff')::uuid FROM jsonb_array_elements(p_limits) x;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'bench-limit-accepted', p_who, kitroom_clock(), v_body);
  RETURN keep_answer(p_who, 'accept-bench-limits', v_body, '{"answer": "done"}');
END $$;

-- p_build = {balance, hpPorts, lpPorts, lpHalfInchPorts, plugsInto, serviceMinutes, inspectionMinutes, page}
CREATE FUNCTION accept_build(p_who jsonb, p_model uuid, p_build jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_build || jsonb_build_object('model', p_model);
  v_answer jsonb := first_answer(p_who, 'accept-build', v_body);
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  PERFORM FROM model WHERE id = p_model FOR NO KEY UPDATE;
  IF NOT FOUND THEN RETURN refused('no-such-model'); END IF;
  INSERT INTO model_build (model_id, nth, balance, hp_ports, lp_ports, lp_half_inch_ports, plugs_into, service_minutes, inspection_minutes, manual_page, accepted_by)
  SELECT p_model, 1 + coalesce((SELECT max(nth) FROM model_build WHERE model_id = p_model), 0), p_build->>'balance', (p_build->>'hpPorts')::int, (p_build->>'lpPorts')::int,
         (p_build->>'lpHalfInchPorts')::int, p_build->>'plugsInto', (p_build->>'serviceMinutes')::int, (p_build->>'inspectionMinutes')::int, p_build->>'page', (p_who->>'staff')::uuid;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'build-accepted', p_who, kitroom_clock(), v_body);
  RETURN keep_answer(p_who, 'accept-build', v_body, '{"answer": "done"}');
END $$;

-- ── Kits ────────────────────────────────────────────────────────────────────────────────

-- p_kit = {maker, name, priceCents, leadDays}; the same maker and name again changes price and lead time.
CREATE FUNCTION keep_kit(p_who jsonb, p_kit jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'technician', 'manager');
  INSERT INTO kit (maker, name, price_cents, lead_days) VALUES (p_kit->>'maker', p_kit->>'name', (p_kit->>'priceCents')::int, (p_kit->>'leadDays')::int)
  ON CONFLICT (maker, name) DO UPDATE SET price_cents = excluded.price_cents, lead_days = excluded.lead_days RETURNING id INTO v_id;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'kit-added', p_who, kitroom_clock(), p_kit || jsonb_build_object('kit', v_id));
  RETURN jsonb_build_object('answer', 'done', 'kit', v_id);
END $$;

-- p_lines = [{kit, quantity}] for one service of this model; an empty list says that it needs none.
CREATE FUNCTION accept_kits(p_who jsonb, p_model uuid, p_lines jsonb, p_page text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('model', p_model, 'lines', p_lines, 'page', p_page);
  v_answer jsonb := first_answer(p_who, 'accept-kits', v_body);
  v_list bigint;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  PERFORM FROM model WHERE id = p_model FOR NO KEY UPDATE;
  IF NOT FOUND THEN RETURN refused('no-such-model'); END IF;
  IF EXISTS (SELECT FROM jsonb_array_elements(p_lines) x WHERE NOT EXISTS (SELECT FROM kit WHERE id = (x->>'kit')::uuid)) THEN RETURN refused('no-such-kit'); END IF;
  INSERT INTO model_kit_list (model_id, nth, manual_page, accepted_by)
  SELECT p_model, 1 + coalesce((SELECT max(nth) FROM model_kit_list WHERE model_id = p_model), 0), p_page, (p_who->>'staff')::uuid RETURNING id INTO v_list;
  INSERT INTO model_kit_line (list_id, kit_id, quantity) SELECT v_list, (x->>'kit')::uuid, (x->>'quantity')::int FROM jsonb_array_elements(p_lines) x;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'kits-accepted', p_who, kitroom_clock(), v_body);
  RETURN keep_answer(p_who, 'accept-kits', v_body, '{"answer": "done"}');
END $$;

-- What lies on the shelf, with the kit held until the act ends, so that the last one is not used twice.
CREATE FUNCTION kit_stock(p_site uuid, p_kit uuid) RETURNS bigint LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_advisory_xact_lock(hashtextextended(p_site::text || p_kit::text, 3));
  RETURN (SELECT coalesce(sum(quantity), 0) FROM kit_movement WHERE site_id = p_site AND kit_id = p_kit);
END $$;

-- p_move = {kind: received | counted, quantity, lot, words}: "counted" gives what lies there now, "received" what came.
CREATE FUNCTION move_kit(p_who jsonb, p_kit uuid, p_move jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_move || jsonb_build_object('kit', p_kit);
  v_answer jsonb := first_answer(p_who, 'move-kit', v_body);
  v_stock bigint;
  v_quantity int := (p_move->>'quantity')::int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  IF NOT EXISTS (SELECT FROM kit WHERE id = p_kit) THEN RETURN refused('no-such-kit'); END IF;
  IF p_move->>'kind' NOT IN ('received', 'counted') OR v_quantity < 0 THEN RAISE EXCEPTION 'move_kit does not know %', p_move USING ERRCODE = 'HR400'; END IF;
  v_stock := kit_stock((p_who->>'site')::uuid, p_kit);
  IF p_move->>'kind' = 'counted' THEN v_quantity := v_quantity - v_stock; END IF;
  INSERT INTO kit_movement (site_id, kit_id, kind, quantity, lot, words, at, by)
  VALUES ((p_who->>'site')::uuid, p_kit, p_move->>'kind', v_quantity, p_move->>'lot', p_move->>'words', kitroom_clock(), (p_who->>'staff')::uuid);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'kit-moved', p_who, kitroom_clock(), v_body);
  RETURN keep_answer(p_who, 'move-kit', v_body, jsonb_build_object('answer', 'done', 'stock', v_stock + v_quantity));
END $$;

CREATE FUNCTION order_kit(p_who jsonb, p_kit uuid, p_quantity int, p_expected_on date) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('kit', p_kit, 'quantity', p_quantity, 'expectedOn', p_expected_on);
  v_answer jsonb := first_answer(p_who, 'order-kit', v_body);
  v_at timestamptz := kitroom_clock();
  v_today date;
  v_id uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  IF NOT EXISTS (SELECT FROM kit WHERE id = p_kit) THEN RETURN refused('no-such-kit'); END IF;
  v_today := site_today((p_who->>'site')::uuid, v_at);
  INSERT INTO kit_order (site_id, kit_id, quantity, ordered_on, expected_on, ordered_by, ordered_at)
  VALUES ((p_who->>'site')::uuid, p_kit, p_quantity, v_today, greatest(p_expected_on, v_today), (p_who->>'staff')::uuid, v_at) RETURNING id INTO v_id;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'kit-ordered', p_who, v_at, v_body || jsonb_build_object('order', v_id));
  RETURN keep_answer(p_who, 'order-kit', v_body, jsonb_build_object('answer', 'done', 'order', v_id));
END $$;

-- What of an order came; the rest will not come.
CREATE FUNCTION close_kit_order(p_who jsonb, p_order uuid, p_received int, p_lot text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('order', p_order, 'received', p_received, 'lot', p_lot);
  v_answer jsonb := first_answer(p_who, 'close-kit-order', v_body);
  v_at timestamptz := kitroom_clock();
  v_order kit_order;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  SELECT * INTO v_order FROM kit_order WHERE id = p_order AND site_id = (p_who->>'site')::uuid FOR UPDATE;
  IF NOT FOUND OR v_order.closed_at IS NOT NULL THEN RETURN refused('no-such-kit-order'); END IF;
  UPDATE kit_order SET closed_at = v_at, closed_by = (p_who->>'staff')::uuid, received = p_received WHERE id = p_order;
  IF p_received > 0 THEN
    INSERT INTO kit_movement (site_id, kit_id, kind, quantity, lot, words, at, by)
    VALUES (v_order.site_id, v_order.kit_id, 'received', p_received, p_lot, 'From an order', v_at, (p_who->>'staff')::uuid);
  END IF;
  PERFORM append_site_entry(v_order.site_id, 'kit-order-closed', p_who, v_at, v_body);
  RETURN keep_answer(p_who, 'close-kit-order', v_body, '{"answer": "done"}');
END $$;

-- ── Test gauges ─────────────────────────────────────────────────────────────────────────

-- p_gauge = {name, serial, measures, spanLow, spanHigh, classTenths, calibratedOn, validUntil, certificate}
CREATE FUNCTION add_gauge(p_who jsonb, p_gauge jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'technician', 'manager');
  IF (p_gauge->>'calibratedOn')::date > site_today((p_who->>'site')::uuid, kitroom_clock()) THEN RETURN refused('after-today', jsonb_build_object('on', p_gauge->>'calibratedOn')); END IF;
  INSERT INTO test_gauge (site_id, name, serial, measures, span_low, span_high, class_tenths, added_by)
  VALUES ((p_who->>'site')::uuid, p_gauge->>'name', p_gauge->>'serial', p_gauge->>'measures', (p_gauge->>'spanLow')::int, (p_gauge->>'spanHigh')::int,
          (p_gauge->>'classTenths')::int, (p_who->>'staff')::uuid)
  ON CONFLICT (site_id, name) DO NOTHING RETURNING id INTO v_id;
  IF v_id IS NULL THEN RETURN refused('name-taken'); END IF;
  INSERT INTO gauge_calibration (gauge_id, calibrated_on, valid_until_on, certificate, noted_by)
  VALUES (v_id, (p_gauge->>'calibratedOn')::date, (p_gauge->>'validUntil')::date, p_gauge->>'certificate', (p_who->>'staff')::uuid);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'gauge-added', p_who, kitroom_clock(), p_gauge || jsonb_build_object('gauge', v_id));
  RETURN jsonb_build_object('answer', 'done', 'gauge', v_id);
END $$;

CREATE FUNCTION calibrate_gauge(p_who jsonb, p_gauge uuid, p_on date, p_until date, p_certificate text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('gauge', p_gauge, 'on', p_on, 'until', p_until, 'certificate', p_certificate);
  v_answer jsonb := first_answer(p_who, 'calibrate-gauge', v_body);
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  PERFORM FROM test_gauge WHERE id = p_gauge AND site_id = (p_who->>'site')::uuid AND retired_at IS NULL FOR NO KEY UPDATE;
  IF NOT FOUND THEN RETURN refused('no-such-gauge'); END IF;
  IF p_on > site_today((p_who->>'site')::uuid, kitroom_clock()) THEN RETURN refused('after-today', jsonb_build_object('on', p_on)); END IF;
  INSERT INTO gauge_calibration (gauge_id, calibrated_on, valid_until_on, certificate, noted_by) VALUES (p_gauge, p_on, p_until, p_certificate, (p_who->>'staff')::uuid);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'gauge-calibrated', p_who, kitroom_clock(), v_body);
  RETURN keep_answer(p_who, 'calibrate-gauge', v_body, '{"answer": "done"}');
END $$;

CREATE FUNCTION retire_gauge(p_who jsonb, p_gauge uuid, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'technician', 'manager');
  UPDATE test_gauge SET retired_at = kitroom_clock() WHERE id = p_gauge AND site_id = (p_who->>'site')::uuid AND retired_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-gauge'); END IF;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'gauge-retired', p_who, kitroom_clock(), jsonb_build_object('gauge', p_gauge, 'words', p_words));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- The calibration that counts on a day: the newest done by then.
CREATE FUNCTION gauge_in_calibration(p_gauge uuid, p_on date) RETURNS boolean LANGUAGE sql STABLE AS $$
  SELECT coalesce((SELECT p_on <= valid_until_on FROM gauge_calibration WHERE gauge_id = p_gauge AND calibrated_on <= p_on ORDER BY calibrated_on DESC, id DESC LIMIT 1), false)
$$;

-- ── Work orders ─────────────────────────────────────────────────────────────────────────

-- p_order = {kind, fault, notice, weekOn, words}. Opening one only asks; a set that is out or sealed can be asked for too.
CREATE FUNCTION open_work_order(p_who jsonb, p_set uuid, p_order jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_order || jsonb_build_object('set', p_set);
  v_answer jsonb := first_answer(p_who, 'open-work-order', v_body);
  v_at timestamptz;
  v_id uuid;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND site_id = (p_who->>'site')::uuid AND retired_seq IS NULL) THEN RETURN refused('no-such-set'); END IF;
  v_id := add_order(p_set, p_who, v_at, p_order);
  IF v_id IS NULL THEN RETURN refused('order-exists'); END IF;
  RETURN keep_answer(p_who, 'open-work-order', v_body, jsonb_build_object('answer', 'done', 'order', v_id));
END $$;

-- The order itself, or null when the same reason has one already. The set must be locked by this transaction.
CREATE FUNCTION add_order(p_set uuid, p_who jsonb, p_at timestamptz, p_order jsonb) RETURNS uuid LANGUAGE plpgsql AS $$
DECLARE
  v_fault uuid := (p_order->>'fault')::uuid;
  v_notice uuid := (p_order->>'notice')::uuid;
  v_id uuid := gen_random_uuid();
BEGIN
  IF v_fault IS NOT NULL AND NOT EXISTS (SELECT FROM fault WHERE id = v_fault AND set_id = p_set AND cleared_at IS NULL) THEN
    RAISE EXCEPTION 'No such open fault of this set' USING ERRCODE = 'HR400';
  END IF;
  IF v_notice IS NOT NULL AND NOT EXISTS (SELECT FROM notice_match n JOIN fitting f ON f.component_id = n.component_id AND f.until_at IS NULL
      WHERE n.notice_id = v_notice AND f.set_id = p_set AND n.cleared_at IS NULL) THEN
    RAISE EXCEPTION 'No such open notice on this set' USING ERRCODE = 'HR400';
  END IF;
  IF EXISTS (SELECT FROM work_order WHERE set_id = p_set AND kind = p_order->>'kind' AND coalesce(fault_id, notice_id, set_id) = coalesce(v_fault, v_notice, p_set) AND done_at IS NULL) THEN
    RETURN NULL;
  END IF;
  INSERT INTO work_order (id, site_id, set_id, kind, fault_id, notice_id, week_on, words, opened_seq, opened_at, opened_by)
  SELECT v_id, s.site_id, p_set, p_order->>'kind', v_fault, v_notice, (p_order->>'weekOn')::date, coalesce(p_order->>'words', ''),
         append_entry(p_set, 'order-opened', p_who, p_at, p_order - 'words' || jsonb_build_object('order', v_id)), p_at, (p_who->>'staff')::uuid
    FROM regulator_set s WHERE s.id = p_set;
  RETURN v_id;
END $$;

-- The set goes to the bench. From here on it comes back only by a release. Orders go along with their set to another site.
CREATE FUNCTION take_work_order(p_who jsonb, p_order uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('order', p_order);
  v_answer jsonb := first_answer(p_who, 'take-work-order', v_body);
  v_at timestamptz;
  v_order work_order;
  v_stop jsonb;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  SELECT o.* INTO v_order FROM work_order o JOIN regulator_set s ON s.id = o.set_id WHERE o.id = p_order AND s.site_id = (p_who->>'site')::uuid;
  IF NOT FOUND THEN RETURN refused('no-such-order'); END IF;
  v_at := lock_sets(ARRAY[v_order.set_id]);
  SELECT * INTO v_order FROM work_order WHERE id = p_order;
  v_stop := untouchable(v_order.set_id, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF v_order.done_at IS NOT NULL THEN RETURN refused('order-closed'); END IF;
  IF v_order.taken_at IS NOT NULL THEN RETURN refused('order-taken', (SELECT jsonb_build_object('by', name) FROM staff WHERE id = v_order.taken_by)); END IF;
  IF EXISTS (SELECT FROM work_order WHERE set_id = v_order.set_id AND taken_at IS NOT NULL AND done_at IS NULL) THEN RETURN refused('other-order-taken'); END IF;
  v_seq := append_entry(v_order.set_id, 'order-taken', p_who, v_at, v_body);
  UPDATE work_order SET taken_seq = v_seq, taken_at = v_at, taken_by = (p_who->>'staff')::uuid WHERE id = p_order;
  RETURN keep_answer(p_who, 'take-work-order', v_body, '{"answer": "done"}');
END $$;

-- The taken order of this technician's site with its set locked, or why it cannot be worked on. Answers {at} or a refusal.
CREATE FUNCTION hold_order(p_who jsonb, p_order uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_order work_order;
  v_at timestamptz;
  v_stop jsonb;
BEGIN
  SELECT o.* INTO v_order FROM work_order o JOIN regulator_set s ON s.id = o.set_id WHERE o.id = p_order AND s.site_id = (p_who->>'site')::uuid;
  IF NOT FOUND THEN RETURN refused('no-such-order'); END IF;
  v_at := lock_sets(ARRAY[v_order.set_id]);
  SELECT * INTO v_order FROM work_order WHERE id = p_order;
  v_stop := untouchable(v_order.set_id, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  IF v_order.done_at IS NOT NULL THEN RETURN refused('order-closed'); END IF;
  IF v_order.taken_at IS NULL THEN RETURN refused('order-not-taken'); END IF;
  RETURN jsonb_build_object('at', v_at, 'set', v_order.set_id);
END $$;

CREATE FUNCTION park_work_order(p_who jsonb, p_order uuid, p_why text, p_expected_on date) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('order', p_order, 'why', p_why, 'expectedOn', p_expected_on);
  v_answer jsonb := first_answer(p_who, 'park-work-order', v_body);
  v_held jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  v_held := hold_order(p_who, p_order);
  IF v_held->>'answer' IS NOT NULL THEN RETURN v_held; END IF;
  IF EXISTS (SELECT FROM work_order_park WHERE order_id = p_order AND until_at IS NULL) THEN RETURN refused('order-parked'); END IF;
  INSERT INTO work_order_park (order_id, why, expected_on, from_at, from_by) VALUES (p_order, p_why, p_expected_on, (v_held->>'at')::timestamptz, (p_who->>'staff')::uuid);
  PERFORM append_entry((v_held->>'set')::uuid, 'order-parked', p_who, (v_held->>'at')::timestamptz, v_body);
  RETURN keep_answer(p_who, 'park-work-order', v_body, '{"answer": "done"}');
END $$;

CREATE FUNCTION resume_work_order(p_who jsonb, p_order uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('order', p_order);
  v_answer jsonb := first_answer(p_who, 'resume-work-order', v_body);
  v_held jsonb;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  v_held := hold_order(p_who, p_order);
  IF v_held->>'answer' IS NOT NULL THEN RETURN v_held; END IF;
  UPDATE work_order_park SET until_at = (v_held->>'at')::timestamptz, until_by = (p_who->>'staff')::uuid WHERE order_id = p_order AND until_at IS NULL;
  IF NOT FOUND THEN RETURN refused('order-not-parked'); END IF;
  PERFORM append_entry((v_held->>'set')::uuid, 'order-resumed', p_who, (v_held->>'at')::timestamptz, v_body);
  RETURN keep_answer(p_who, 'resume-work-order', v_body, '{"answer": "done"}');
END $$;

-- p_close = {outcome: done | dropped, minutes, words}. "Done" needs the recorded work it was opened for.
CREATE FUNCTION close_work_order(p_who jsonb, p_order uuid, p_close jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_close || jsonb_build_object('order', p_order);
  v_answer jsonb := first_answer(p_who, 'close-work-order', v_body);
  v_order work_order;
  v_at timestamptz;
  v_stop jsonb;
  v_seq int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  SELECT o.* INTO v_order FROM work_order o JOIN regulator_set s ON s.id = o.set_id WHERE o.id = p_order AND s.site_id = (p_who->>'site')::uuid;
  IF NOT FOUND THEN RETURN refused('no-such-order'); END IF;
  v_at := lock_sets(ARRAY[v_order.set_id]);
  SELECT * INTO v_order FROM work_order WHERE id = p_order;
  IF v_order.done_at IS NOT NULL THEN RETURN refused('order-closed'); END IF;
  IF p_close->>'outcome' = 'done' THEN
    PERFORM actor(p_who, 'technician');
    v_stop := untouchable(v_order.set_id, (p_who->>'site')::uuid);
    IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
    IF v_order.taken_at IS NULL THEN RETURN refused('order-not-taken'); END IF;
    IF EXISTS (SELECT FROM work_order_park WHERE order_id = p_order AND until_at IS NULL) THEN RETURN refused('order-parked'); END IF;
    IF NOT order_work_recorded(v_order) THEN RETURN refused('order-work-missing', jsonb_build_object('kind', v_order.kind)); END IF;
  ELSE
    UPDATE work_order_park SET until_at = v_at, until_by = (p_who->>'staff')::uuid WHERE order_id = p_order AND until_at IS NULL;
  END IF;
  v_seq := append_entry(v_order.set_id, 'order-done', p_who, v_at, v_body);
  UPDATE work_order SET done_seq = v_seq, done_at = v_at, done_by = (p_who->>'staff')::uuid, outcome = p_close->>'outcome',
    minutes = (p_close->>'minutes')::int, done_words = p_close->>'words' WHERE id = p_order;
  RETURN keep_answer(p_who, 'close-work-order', v_body, '{"answer": "done"}');
END $$;

CREATE FUNCTION order_work_recorded(p_order work_order) RETURNS boolean LANGUAGE sql STABLE AS $$
  SELECT CASE p_order.kind
    WHEN 'repair' THEN EXISTS (SELECT FROM fault WHERE id = p_order.fault_id AND cleared_at IS NOT NULL)
    WHEN 'notice' THEN NOT EXISTS (SELECT FROM notice_match n JOIN fitting f ON f.component_id = n.component_id AND f.until_at IS NULL
                                    WHERE n.notice_id = p_order.notice_id AND f.set_id = p_order.set_id AND n.cleared_at IS NULL)
    WHEN 'new-component' THEN EXISTS (SELECT FROM bench_test WHERE set_id = p_order.set_id AND seq > p_order.taken_seq AND phase = 'as-left')
    ELSE EXISTS (SELECT FROM component_work WHERE order_id = p_order.id AND kind = p_order.kind) END
$$;

-- ── Work on components ──────────────────────────────────────────────────────────────────

DROP FUNCTION note_work(uuid, uuid, int, text, date, int, int, boolean, boolean, text, uuid, timestamptz, boolean, jsonb);

-- One piece of work on one component, and its reading then (the present reading unless given).
CREATE FUNCTION note_work(p_component uuid, p_set uuid, p_seq int, p_kind text, p_done_on date, p_dives int, p_minutes int,
                          p_oxygen boolean, p_imported boolean, p_words text, p_by uuid, p_at timestamptz,
                          p_reading_known boolean DEFAULT false, p_facts jsonb DEFAULT NULL, p_order uuid DEFAULT NULL) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
  c component;
  w component_work;
  v_service boolean;
  v_inspection boolean;
  v_check boolean;
  v_bedding boolean;
BEGIN
  SELECT * INTO STRICT c FROM component WHERE id = p_component;
  INSERT INTO component_work (component_id, set_id, seq, kind, done_on, dives_at, minutes_at, taught_at, oxygen_clean, imported, words, facts, done_by, at, order_id)
  VALUES (p_component, p_set, p_seq, p_kind, p_done_on, coalesce(p_dives, c.dives_total), coalesce(p_minutes, c.minutes_total),
          -- Teaching that is not known to lie before work brought in from elsewhere lies after it.
          CASE WHEN p_imported THEN (SELECT count(*) FROM component_use u WHERE u.component_id = p_component AND u.taught AND u.used_on < p_done_on)::int ELSE c.taught_total END,
          p_oxygen, p_imported, p_words, p_facts, p_by, p_at, p_order)
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

-- Why these kits do not cover this service, or null. Old seals do not go back: each component serviced uses what its model's list says.
CREATE FUNCTION kits_missing(p_components jsonb, p_kits jsonb) RETURNS jsonb LANGUAGE plpgsql STABLE AS $$
DECLARE v_short jsonb;
BEGIN
  SELECT jsonb_agg(DISTINCT m.maker || ' ' || m.name) INTO v_short FROM jsonb_array_elements_text(p_components) x JOIN component c ON c.id = x::uuid JOIN model m ON m.id = c.model_id
   WHERE m.kind IN ('first-stage', 'second-stage') AND NOT EXISTS (SELECT FROM model_kit_list l WHERE l.model_id = m.id);
  IF v_short IS NOT NULL THEN RETURN refused('kits-not-recorded', jsonb_build_object('models', v_short)); END IF;
  SELECT jsonb_agg(jsonb_build_object('component', c.id, 'kit', k.maker || ' ' || k.name, 'needs', l.quantity)) INTO v_short
    FROM jsonb_array_elements_text(p_components) x JOIN component c ON c.id = x::uuid
    JOIN model_kit_list g ON g.model_id = c.model_id AND g.nth = (SELECT max(nth) FROM model_kit_list WHERE model_id = c.model_id)
    JOIN model_kit_line l ON l.list_id = g.id JOIN kit k ON k.id = l.kit_id
   WHERE l.quantity > coalesce((SELECT sum((u->>'quantity')::int) FROM jsonb_array_elements(p_kits) u WHERE u->>'component' = c.id::text AND u->>'kit' = k.id::text), 0);
  IF v_short IS NOT NULL THEN RETURN refused('kits-missing', jsonb_build_object('missing', v_short)); END IF;
  RETURN NULL;
END $$;

-- p_work = {kind, components: [uuid], oxygenClean, words, order, kits: [{component, kit, lot, quantity}]}
CREATE OR REPLACE FUNCTION record_work(p_who jsonb, p_set uuid, p_work jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_work || jsonb_build_object('set', p_set);
  v_answer jsonb := first_answer(p_who, 'record-work', v_body);
  v_order uuid := (p_work->>'order')::uuid;
  v_kits jsonb := coalesce(nullif(p_work->'kits', 'null'), '[]');
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
  IF v_order IS NOT NULL AND NOT EXISTS (SELECT FROM work_order WHERE id = v_order AND set_id = p_set AND taken_at IS NOT NULL AND done_at IS NULL) THEN RETURN refused('order-not-taken'); END IF;
  SELECT jsonb_agg(DISTINCT m.maker) INTO v_makers FROM jsonb_array_elements_text(p_work->'components') x
    JOIN component c ON c.id = x::uuid JOIN model m ON m.id = c.model_id
   WHERE NOT is_authorised((p_who->>'staff')::uuid, m.maker, v_today, (p_work->>'oxygenClean')::boolean);
  IF v_makers IS NOT NULL THEN RETURN refused('not-authorised', jsonb_build_object('makers', v_makers, 'on', v_today)); END IF;
  IF p_work->>'kind' = 'service' THEN
    v_stop := kits_missing(p_work->'components', v_kits);
    IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  END IF;
  v_stop := use_kits(p_who, p_work->'components', v_kits, v_order, v_at);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  v_seq := append_entry(p_set, CASE p_work->>'kind' WHEN 'service' THEN 'serviced' WHEN 'inspection' THEN 'inspected' ELSE 'bedding-checked' END, p_who, v_at, v_body);
  PERFORM note_work(x::uuid, p_set, v_seq, p_work->>'kind', v_today, NULL, NULL, (p_work->>'oxygenClean')::boolean, false, p_work->>'words', (p_who->>'staff')::uuid, v_at, false, NULL, v_order)
     FROM jsonb_array_elements_text(p_work->'components') x;
  RETURN keep_answer(p_who, 'record-work', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- Takes the kits off the shelf, all or none; or why not.
CREATE FUNCTION use_kits(p_who jsonb, p_components jsonb, p_kits jsonb, p_order uuid, p_at timestamptz) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_kit record;
  v_stock bigint;
BEGIN
  IF EXISTS (SELECT FROM jsonb_array_elements(p_kits) k WHERE NOT p_components ? (k->>'component')) THEN RETURN refused('not-fitted'); END IF;
  FOR v_kit IN SELECT (k->>'kit')::uuid AS id, sum((k->>'quantity')::int) AS wanted FROM jsonb_array_elements(p_kits) k GROUP BY 1 ORDER BY 1 LOOP
    IF NOT EXISTS (SELECT FROM kit WHERE id = v_kit.id) THEN RETURN refused('no-such-kit'); END IF;
    v_stock := kit_stock((p_who->>'site')::uuid, v_kit.id);
    IF v_stock < v_kit.wanted THEN
      RETURN refused('kit-not-in-stock', (SELECT jsonb_build_object('kit', maker || ' ' || name, 'stock', v_stock, 'wanted', v_kit.wanted) FROM kit WHERE id = v_kit.id));
    END IF;
  END LOOP;
  INSERT INTO kit_movement (site_id, kit_id, kind, quantity, lot, component_id, order_id, words, at, by)
  SELECT (p_who->>'site')::uuid, (k->>'kit')::uuid, 'used', -(k->>'quantity')::int, k->>'lot', (k->>'component')::uuid, p_order, '', p_at, (p_who->>'staff')::uuid
    FROM jsonb_array_elements(p_kits) k;
  RETURN NULL;
END $$;

-- ── Bench tests ─────────────────────────────────────────────────────────────────────────

-- p_test = {phase, verdict, words, order, readings: [{component, name, supplyCbar, atCbar, value, adjuster, venturi, gauge, verdict, why, low, high}],
--           curves: [{component, supplyCbar, points}]}. packages/rules judges; the database refuses a pass that its own facts contradict.
CREATE FUNCTION record_bench_test(p_who jsonb, p_set uuid, p_test jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_test || jsonb_build_object('set', p_set);
  v_answer jsonb := first_answer(p_who, 'record-bench-test', v_body);
  v_order uuid := (p_test->>'order')::uuid;
  v_at timestamptz;
  v_today date;
  v_doubt jsonb;
  v_stop jsonb;
  v_seq int;
  v_id uuid := gen_random_uuid();
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  v_at := lock_sets(ARRAY[p_set]);
  v_doubt := clock_doubt(v_at);
  IF v_doubt IS NOT NULL THEN RETURN refused(v_doubt->>'code', v_doubt->'facts'); END IF;
  v_stop := untouchable(p_set, (p_who->>'site')::uuid);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  v_today := site_today((p_who->>'site')::uuid, v_at);
  IF EXISTS (SELECT FROM jsonb_array_elements(p_test->'readings' || coalesce(nullif(p_test->'curves', 'null'), '[]')) r WHERE NOT EXISTS (
    SELECT FROM fitting WHERE set_id = p_set AND component_id = (r->>'component')::uuid AND until_at IS NULL)) THEN RETURN refused('not-fitted'); END IF;
  IF EXISTS (SELECT FROM jsonb_array_elements(p_test->'readings') r WHERE r->>'gauge' IS NOT NULL AND NOT EXISTS (
    SELECT FROM test_gauge WHERE id = (r->>'gauge')::uuid AND site_id = (p_who->>'site')::uuid AND retired_at IS NULL)) THEN RETURN refused('no-such-gauge'); END IF;
  IF v_order IS NOT NULL AND NOT EXISTS (SELECT FROM work_order WHERE id = v_order AND set_id = p_set AND taken_at IS NOT NULL AND done_at IS NULL) THEN RETURN refused('order-not-taken'); END IF;
  v_stop := pass_contradicted(p_set, p_test, v_today);
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  -- What a test found wrong, or was not sure of after the work, takes a released set back.
  v_seq := append_entry(p_set, CASE WHEN p_test->>'verdict' = 'fail' OR (p_test->>'phase' = 'as-left' AND p_test->>'verdict' <> 'pass') THEN 'bench-test-failed' ELSE 'bench-tested' END, p_who, v_at, v_body - 'curves' || jsonb_build_object('test', v_id));
  INSERT INTO bench_test (id, set_id, seq, order_id, phase, verdict, words, tested_on, tested_by, tested_at)
  VALUES (v_id, p_set, v_seq, v_order, p_test->>'phase', p_test->>'verdict', p_test->>'words', v_today, (p_who->>'staff')::uuid, v_at);
  INSERT INTO bench_reading (test_id, component_id, name, supply_cbar, at_cbar, value, adjuster, venturi, gauge_id, verdict, why, low, high)
  SELECT v_id, (r->>'component')::uuid, r->>'name', (r->>'supplyCbar')::int, (r->>'atCbar')::int, (r->>'value')::int, r->>'adjuster', r->>'venturi',
         (r->>'gauge')::uuid, r->>'verdict', r->>'why', (r->>'low')::int, (r->>'high')::int FROM jsonb_array_elements(p_test->'readings') r;
  INSERT INTO bench_curve (test_id, component_id, supply_cbar, points)
  SELECT v_id, (c->>'component')::uuid, (c->>'supplyCbar')::int, c->'points' FROM jsonb_array_elements(coalesce(nullif(p_test->'curves', 'null'), '[]')) c;
  RETURN keep_answer(p_who, 'record-bench-test', v_body, jsonb_build_object('answer', 'done', 'test', v_id));
END $$;

-- Why a test called passed cannot be one, or null: a reading that failed, a gauge out of its calibration, a reading outside the limit
-- in force or without one, or something that has to be read and was not, or did not pass.
CREATE FUNCTION pass_contradicted(p_set uuid, p_test jsonb, p_today date) RETURNS jsonb LANGUAGE plpgsql STABLE AS $$
DECLARE v_why jsonb;
BEGIN
  IF p_test->>'verdict' <> 'pass' THEN RETURN NULL; END IF;
  IF EXISTS (SELECT FROM jsonb_array_elements(p_test->'readings') r WHERE r->>'verdict' = 'fail') THEN RETURN refused('test-not-passed'); END IF;
  SELECT jsonb_agg(DISTINCT g.name) INTO v_why FROM jsonb_array_elements(p_test->'readings') r JOIN test_gauge g ON g.id = (r->>'gauge')::uuid
   WHERE r->>'verdict' = 'pass' AND NOT gauge_in_calibration(g.id, p_today);
  IF v_why IS NOT NULL THEN RETURN refused('gauge-out-of-date', jsonb_build_object('gauges', v_why)); END IF;
  -- The intermediate pressure of an unbalanced piston falls with the supply by design: below 150 bar only the upper edge binds.
  SELECT jsonb_agg(DISTINCT r->>'name') INTO v_why FROM jsonb_array_elements(p_test->'readings') r
    JOIN fitting f ON f.set_id = p_set AND f.component_id = (r->>'component')::uuid AND f.until_at IS NULL JOIN component c ON c.id = f.component_id
    LEFT JOIN LATERAL (SELECT b.low, b.high FROM bench_limit b WHERE b.model_id = c.model_id
      AND b.name = CASE r->>'name' WHEN 'cracking-effort' THEN 'cracking-effort-' || f.position ELSE r->>'name' END ORDER BY b.nth DESC LIMIT 1) l ON true
    LEFT JOIN LATERAL (SELECT m.balance FROM model_build m WHERE m.model_id = c.model_id ORDER BY m.nth DESC LIMIT 1) m ON true
   WHERE r->>'verdict' = 'pass' AND (CASE
      WHEN r->>'name' IN ('intermediate-pressure', 'creep', 'cracking-effort') THEN num_nonnulls(l.low, l.high) = 0 OR r->>'gauge' IS NULL OR (r->>'value')::int > l.high
        OR ((r->>'value')::int < l.low AND NOT (r->>'name' = 'intermediate-pressure' AND m.balance IS NOT DISTINCT FROM 'unbalanced-piston' AND (r->>'supplyCbar')::int < 15000))
      WHEN r->>'name' = 'vacuum-held' THEN (r->>'value')::int <> 1
      WHEN r->>'name' IN ('immersion-leak', 'gauge-zero') THEN (r->>'value')::int <> 0
      ELSE false END);
  IF v_why IS NOT NULL THEN RETURN refused('test-not-passed', jsonb_build_object('readings', v_why)); END IF;
  SELECT jsonb_agg(DISTINCT need.name) INTO v_why FROM fitting f
   CROSS JOIN LATERAL (VALUES ('first-stage', 'intermediate-pressure', 2), ('first-stage', 'creep', 1),
      ('primary', 'cracking-effort', 1), ('primary', 'vacuum-held', 1), ('primary', 'immersion-leak', 1),
      ('alternate', 'cracking-effort', 1), ('alternate', 'vacuum-held', 1), ('alternate', 'immersion-leak', 1),
      ('gauge', 'gauge-zero', 1), ('gauge', 'gauge-error', 3)) need (position, name, times)
   WHERE f.set_id = p_set AND f.until_at IS NULL AND f.position = need.position
     AND need.times > (SELECT count(DISTINCT coalesce((r->>'supplyCbar')::int, (r->>'atCbar')::int, 0)) FROM jsonb_array_elements(p_test->'readings') r
                        WHERE r->>'component' = f.component_id::text AND r->>'name' = need.name AND r->>'verdict' = 'pass');
  IF v_why IS NOT NULL THEN RETURN refused('test-incomplete', jsonb_build_object('readings', v_why)); END IF;
  RETURN NULL;
END $$;

-- ── Release ─────────────────────────────────────────────────────────────────────────────

-- Releases sets for hire: a separate act from the work, by a technician authorised for the makers of the breathing path,
-- and for oxygen-clean work where a part may see more than 40 % oxygen.
CREATE OR REPLACE FUNCTION release_sets(p_who jsonb, p_sets uuid[], p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
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
      CASE WHEN s.released_seq > s.unreleased_seq THEN refused('already-released', jsonb_build_object('tag', s.tag)) END,
      CASE WHEN s.tested_seq < s.retest_seq THEN refused('not-tested', jsonb_build_object('tag', s.tag)) END,
      (SELECT refused('on-the-bench', jsonb_build_object('tag', s.tag)) FROM work_order o WHERE o.set_id = s.id AND o.taken_at IS NOT NULL AND o.done_at IS NULL),
      CASE WHEN t.release_by_second AND worked_on(s.id, (p_who->>'staff')::uuid) THEN refused('second-person', jsonb_build_object('tag', s.tag)) END) AS stop
    FROM unnest(p_sets) u LEFT JOIN regulator_set s ON s.id = u LEFT JOIN site t ON t.id = s.site_id) x WHERE stop IS NOT NULL LIMIT 1;
  IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
  SELECT jsonb_agg(DISTINCT m.maker) INTO v_makers FROM component_standing k JOIN model m ON m.id = k.model_id
   WHERE k.set_id = ANY (p_sets) AND k.position IN ('first-stage', 'primary', 'alternate')
     AND NOT is_authorised((p_who->>'staff')::uuid, m.maker, v_today, may_see_oxygen(k.component_id));
  IF v_makers IS NOT NULL THEN RETURN refused('not-authorised', jsonb_build_object('makers', v_makers, 'on', v_today)); END IF;
  INSERT INTO release (set_id, seq, words, released_by, released_at)
  SELECT u, append_entry(u, 'released', p_who, v_at, jsonb_build_object('words', p_words)), p_words, (p_who->>'staff')::uuid, v_at FROM unnest(p_sets) u;
  RETURN keep_answer(p_who, 'release', v_body, jsonb_build_object('answer', 'done'));
END $$;

-- May this part see more than 40 % oxygen? Its model allows it, and its last service was done oxygen-clean (29 CFR 1910.430(i)).
CREATE FUNCTION may_see_oxygen(p_component uuid) RETURNS boolean LANGUAGE sql STABLE AS $$
  SELECT coalesce((SELECT l.max_o2_tenths > 400 FROM model_limits l WHERE l.model_id = c.model_id ORDER BY l.nth DESC LIMIT 1), false)
     AND coalesce((SELECT w.oxygen_clean FROM component_work w WHERE w.component_id = c.id AND w.kind = 'service' ORDER BY w.done_on DESC, w.id DESC LIMIT 1), false)
    FROM component c WHERE c.id = p_component
$$;

-- Did this person open, refit or service the set since its last release?
CREATE FUNCTION worked_on(p_set uuid, p_staff uuid) RETURNS boolean LANGUAGE sql STABLE AS $$
  SELECT EXISTS (SELECT FROM record_entry e JOIN regulator_set s ON s.id = e.set_id
   WHERE e.set_id = p_set AND e.by = p_staff AND e.act IN ('opened', 'fitted', 'removed', 'serviced') AND e.seq > s.released_seq)
$$;

-- ── Notices ─────────────────────────────────────────────────────────────────────────────

-- How a serial stands to one range: 'in-range', 'every-serial', 'serial-unknown', 'near-miss', or null.
-- Letters are capitals; spaces, dots and dashes do not count. A near miss is a serial that one digit more or one digit
-- less would bring into the range, or that lies in it but for its letters.
CREATE FUNCTION serial_match(p_serial text, p_prefix text, p_digits int, p_low bigint, p_high bigint) RETURNS text LANGUAGE plpgsql IMMUTABLE AS $$
DECLARE
  -- The letters a to z alone are made capitals: other alphabets have rules of their own.
  v_bare text := upper(regexp_replace(p_serial, '[ .\-]', '', 'g') COLLATE "C");
  v_letters text;
  v_number text;
BEGIN
  IF p_digits IS NULL THEN RETURN 'every-serial'; END IF;
  IF v_bare IS NULL OR v_bare = '' THEN RETURN 'serial-unknown'; END IF;
  v_letters := coalesce(substring(v_bare FROM '^([A-Z]*)[0-9]+$'), '');
  v_number := substring(v_bare FROM '^[A-Z]*([0-9]+)$');
  -- Written in another form than letters and digits: somebody has to look.
  IF v_number IS NULL THEN RETURN 'near-miss'; END IF;
  IF length(v_number) = p_digits AND v_number::numeric BETWEEN p_low AND p_high THEN
    RETURN CASE WHEN v_letters = p_prefix THEN 'in-range' ELSE 'near-miss' END;
  END IF;
  IF v_letters <> p_prefix THEN RETURN NULL; END IF;
  IF length(v_number) = p_digits + 1 AND EXISTS (
    SELECT FROM generate_series(1, length(v_number)) i WHERE overlay(v_number PLACING '' FROM i FOR 1)::numeric BETWEEN p_low AND p_high) THEN
    RETURN 'near-miss';
  END IF;
  IF length(v_number) = p_digits - 1 AND EXISTS (
    SELECT FROM generate_series(1, length(v_number) + 1) i, generate_series(0, 9) d
     WHERE overlay(v_number PLACING d::text FROM i FOR 0)::numeric BETWEEN p_low AND p_high) THEN
    RETURN 'near-miss';
  END IF;
  RETURN NULL;
END $$;

-- The hardest match of a component with a notice, or null. A whole model, a serial in range and an unknown serial hold until
-- the remedy is done; a near miss holds until somebody has looked.
CREATE FUNCTION notice_matches(p_notice uuid, p_component uuid, p_model uuid, p_serial text) RETURNS TABLE (why text) LANGUAGE sql STABLE AS $$
  SELECT m.why FROM notice_range r CROSS JOIN LATERAL (SELECT serial_match(p_serial, r.prefix, r.digits, r.low, r.high) AS why) m
   WHERE r.notice_id = p_notice AND r.model_id = p_model AND m.why IS NOT NULL
   ORDER BY array_position(ARRAY['in-range', 'every-serial', 'serial-unknown', 'near-miss'], m.why) LIMIT 1
$$;

DROP FUNCTION open_notice(jsonb, jsonb, jsonb);

-- p_notice = {title, reference, hazard, remedy, publishedOn, ranges: [{model, prefix, digits, low, high}]}: no numbers for every serial.
-- A component in a set that is out is held too. Nothing is registered or brought in while it is matched.
CREATE FUNCTION open_notice(p_who jsonb, p_notice jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_answer jsonb := first_answer(p_who, 'open-notice', p_notice);
  v_sets uuid[];
  v_at timestamptz;
  v_id uuid := gen_random_uuid();
  v_matched int;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  PERFORM pg_advisory_xact_lock(hashtextextended('import', 1));
  PERFORM pg_advisory_xact_lock(hashtextextended('notices', 1));
  IF EXISTS (SELECT FROM jsonb_array_elements(p_notice->'ranges') r WHERE NOT EXISTS (SELECT FROM model WHERE id = (r->>'model')::uuid)) THEN RETURN refused('no-such-model'); END IF;
  INSERT INTO notice (id, title, reference, hazard, remedy, published_on, entered_by)
  VALUES (v_id, p_notice->>'title', p_notice->>'reference', p_notice->>'hazard', p_notice->>'remedy', (p_notice->>'publishedOn')::date, (p_who->>'staff')::uuid);
  INSERT INTO notice_range (notice_id, model_id, prefix, digits, low, high)
  SELECT v_id, (r->>'model')::uuid, coalesce(r->>'prefix', ''), (r->>'digits')::int, (r->>'low')::bigint, (r->>'high')::bigint FROM jsonb_array_elements(p_notice->'ranges') r;
  -- A swap may move a matched part while the sets are found; so they are found again once they are locked, until none is new.
  LOOP
    SELECT coalesce(array_agg(DISTINCT f.set_id), '{}') INTO v_sets FROM component c JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL
     WHERE c.model_id IN (SELECT model_id FROM notice_range WHERE notice_id = v_id) AND EXISTS (SELECT FROM notice_matches(v_id, c.id, c.model_id, c.serial));
    v_at := coalesce(lock_sets(v_sets), kitroom_clock());
    EXIT WHEN NOT EXISTS (SELECT FROM component c JOIN fitting f ON f.component_id = c.id AND f.until_at IS NULL AND f.set_id <> ALL (v_sets)
      WHERE c.model_id IN (SELECT model_id FROM notice_range WHERE notice_id = v_id) AND EXISTS (SELECT FROM notice_matches(v_id, c.id, c.model_id, c.serial)));
  END LOOP;
  INSERT INTO notice_match (notice_id, component_id, state, why, matched_at)
  SELECT v_id, c.id, CASE m.why WHEN 'near-miss' THEN 'check' ELSE 'open' END, m.why, v_at
    FROM component c CROSS JOIN LATERAL notice_matches(v_id, c.id, c.model_id, c.serial) m WHERE c.model_id IN (SELECT model_id FROM notice_range WHERE notice_id = v_id);
  GET DIAGNOSTICS v_matched = ROW_COUNT;
  PERFORM append_entry(u, 'notice-opened', p_who, v_at, jsonb_build_object('notice', v_id, 'reference', p_notice->>'reference')) FROM unnest(v_sets) u;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'notice-opened', p_who, v_at, p_notice || jsonb_build_object('notice', v_id));
  RETURN keep_answer(p_who, 'open-notice', p_notice, jsonb_build_object('answer', 'done', 'notice', v_id, 'sets', cardinality(v_sets), 'components', v_matched));
END $$;

-- A component recorded after a notice is matched as it comes in.
CREATE FUNCTION match_new_component() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_advisory_xact_lock_shared(hashtextextended('notices', 1));
  INSERT INTO notice_match (notice_id, component_id, state, why, matched_at)
  SELECT n.notice_id, NEW.id, CASE m.why WHEN 'near-miss' THEN 'check' ELSE 'open' END, m.why, kitroom_clock()
    FROM (SELECT DISTINCT notice_id FROM notice_range WHERE model_id = NEW.model_id) n CROSS JOIN LATERAL notice_matches(n.notice_id, NEW.id, NEW.model_id, NEW.serial) m;
  RETURN NULL;
END $$;
CREATE TRIGGER component_notices AFTER INSERT ON component FOR EACH ROW EXECUTE FUNCTION match_new_component();

-- The remedy is done to one part, or somebody has looked and it is not meant. Not while a hirer has it.
CREATE OR REPLACE FUNCTION clear_notice(p_who jsonb, p_notice uuid, p_component uuid, p_remedy text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('notice', p_notice, 'component', p_component, 'remedy', p_remedy);
  v_answer jsonb := first_answer(p_who, 'clear-notice', v_body);
  v_set uuid;
  v_at timestamptz;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician');
  IF NOT EXISTS (SELECT FROM component WHERE id = p_component AND site_id = (p_who->>'site')::uuid) THEN RETURN refused('no-such-component'); END IF;
  IF NOT EXISTS (SELECT FROM notice_match WHERE notice_id = p_notice AND component_id = p_component) THEN RETURN refused('no-such-notice'); END IF;
  SELECT set_id INTO v_set FROM fitting WHERE component_id = p_component AND until_at IS NULL;
  v_at := lock_sets(ARRAY[v_set]);
  IF EXISTS (SELECT FROM regulator_set WHERE id = v_set AND evidence_seq IS NOT NULL) THEN RETURN refused('evidence-lock'); END IF;
  IF EXISTS (SELECT FROM hire_line WHERE set_id = v_set AND back_at IS NULL) THEN
    RETURN refused('out', (SELECT jsonb_build_object('tag', tag) FROM regulator_set WHERE id = v_set));
  END IF;
  UPDATE notice_match SET cleared_at = v_at, cleared_by = (p_who->>'staff')::uuid, remedy_done = p_remedy
   WHERE notice_id = p_notice AND component_id = p_component AND cleared_at IS NULL;
  IF NOT FOUND THEN RETURN refused('already-cleared'); END IF;
  IF v_set IS NOT NULL THEN
    PERFORM append_entry(v_set, 'notice-cleared', p_who, v_at, jsonb_build_object('notice', p_notice, 'component', p_component));
  END IF;
  RETURN keep_answer(p_who, 'clear-notice', v_body, '{"answer": "done"}');
END $$;

-- ── Evidence ────────────────────────────────────────────────────────────────────────────

-- p_note = {from, to, place, words}: who gave the sealed set to whom, and where it lies.
CREATE FUNCTION note_custody(p_who jsonb, p_set uuid, p_note jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := p_note || jsonb_build_object('set', p_set);
  v_answer jsonb := first_answer(p_who, 'note-custody', v_body);
  v_at timestamptz;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND site_id = (p_who->>'site')::uuid) THEN RETURN refused('no-such-set'); END IF;
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND evidence_seq IS NOT NULL) THEN RETURN refused('not-sealed'); END IF;
  INSERT INTO custody_note (set_id, seq, from_hand, to_hand, place, words, noted_by, noted_at)
  VALUES (p_set, append_entry(p_set, 'custody-noted', p_who, v_at, v_body), p_note->>'from', p_note->>'to', p_note->>'place', p_note->>'words', (p_who->>'staff')::uuid, v_at);
  RETURN keep_answer(p_who, 'note-custody', v_body, '{"answer": "done"}');
END $$;

-- The manager alone lifts a seal, with who allowed it. The set is then to be washed, tested and released like any other, and its faults stay open.
CREATE FUNCTION lift_evidence(p_who jsonb, p_set uuid, p_allowed_by text, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('set', p_set, 'allowedBy', p_allowed_by, 'words', p_words);
  v_answer jsonb := first_answer(p_who, 'lift-evidence', v_body);
  v_at timestamptz;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND site_id = (p_who->>'site')::uuid) THEN RETURN refused('no-such-set'); END IF;
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND evidence_seq IS NOT NULL) THEN RETURN refused('not-sealed'); END IF;
  PERFORM append_entry(p_set, 'evidence-lifted', p_who, v_at, v_body);
  RETURN keep_answer(p_who, 'lift-evidence', v_body, '{"answer": "done"}');
END $$;

-- ── Money ───────────────────────────────────────────────────────────────────────────────

-- p_money = {currency, benchHourCents, hireCents, interestPermille}
CREATE FUNCTION set_money(p_who jsonb, p_money jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager');
  UPDATE site SET currency = p_money->>'currency', bench_hour_cents = (p_money->>'benchHourCents')::int, hire_cents = (p_money->>'hireCents')::int,
    interest_permille = (p_money->>'interestPermille')::int WHERE id = (p_who->>'site')::uuid;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'money-set', p_who, kitroom_clock(), p_money);
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- p_money = {priceCents, resaleCents, lifeYears}
CREATE FUNCTION set_model_money(p_who jsonb, p_model uuid, p_money jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager');
  PERFORM FROM model WHERE id = p_model FOR NO KEY UPDATE;
  IF NOT FOUND THEN RETURN refused('no-such-model'); END IF;
  INSERT INTO model_money (site_id, model_id, nth, price_cents, resale_cents, life_years, set_by)
  SELECT (p_who->>'site')::uuid, p_model, 1 + coalesce((SELECT max(nth) FROM model_money WHERE site_id = (p_who->>'site')::uuid AND model_id = p_model), 0),
         (p_money->>'priceCents')::int, (p_money->>'resaleCents')::int, (p_money->>'lifeYears')::int, (p_who->>'staff')::uuid;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'money-set', p_who, kitroom_clock(), p_money || jsonb_build_object('model', p_model));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- ── Policy, and the board ────────────────────────────────────────────────────────────────

CREATE OR REPLACE FUNCTION set_policy(p_who jsonb, p_policy jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_sets uuid[];
  v_at timestamptz;
BEGIN
  PERFORM actor(p_who, 'manager');
  SELECT coalesce(array_agg(id), '{}') INTO v_sets FROM regulator_set WHERE site_id = (p_who->>'site')::uuid AND retired_seq IS NULL;
  v_at := coalesce(lock_sets(v_sets), kitroom_clock());
  UPDATE site SET
    teaching_months = coalesce((p_policy->>'teachingMonths')::int, teaching_months), shelf_months = coalesce((p_policy->>'shelfMonths')::int, shelf_months),
    bedding_dives = coalesce((p_policy->>'beddingDives')::int, bedding_dives), bedding_days = coalesce((p_policy->>'beddingDays')::int, bedding_days),
    nitrox_above_tenths = coalesce((p_policy->>'nitroxAboveTenths')::int, nitrox_above_tenths), nitrox_needs_m26 = coalesce((p_policy->>'nitroxNeedsM26')::boolean, nitrox_needs_m26),
    minutes_per_dive = coalesce((p_policy->>'minutesPerDive')::int, minutes_per_dive), drying_minutes = coalesce((p_policy->>'dryingMinutes')::int, drying_minutes),
    retention_months = coalesce((p_policy->>'retentionMonths')::int, retention_months), units = coalesce(p_policy->>'units', units),
    release_by_second = coalesce((p_policy->>'releaseBySecond')::boolean, release_by_second), bench_days = coalesce((p_policy->>'benchDays')::int, bench_days)
   WHERE id = (p_who->>'site')::uuid;
  PERFORM append_entry(u, 'policy-changed', p_who, v_at, p_policy) FROM unnest(v_sets) u;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'policy-changed', p_who, v_at, p_policy);
  RETURN jsonb_build_object('answer', 'done');
END $$;

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
              OR d.shelf_until < (kitroom_clock() AT TIME ZONE t.time_zone)::date THEN 'held'
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

-- ── Rights ──────────────────────────────────────────────────────────────────────────────

DO $$
DECLARE f record;
BEGIN
  GRANT SELECT ON ALL TABLES IN SCHEMA public TO hangrail_app;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p
            WHERE p.pronamespace = 'public'::regnamespace AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = p.oid AND d.deptype = 'e') LOOP
    EXECUTE format('REVOKE ALL ON FUNCTION %s FROM PUBLIC', f.name);
  END LOOP;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'confirm_fault', 'add_photo', 'tune_fault', 'accept_bench_limits', 'accept_build', 'keep_kit', 'accept_kits', 'move_kit', 'order_kit', 'close_kit_order',
      'add_gauge', 'calibrate_gauge', 'retire_gauge', 'open_work_order', 'take_work_order', 'park_work_order', 'resume_work_order', 'close_work_order',
      'record_work', 'record_bench_test', 'release_sets', 'open_notice', 'clear_notice', 'note_custody', 'lift_evidence', 'set_money', 'set_model_money', 'set_policy']) LOOP
    EXECUTE format('ALTER FUNCTION %s SECURITY DEFINER SET search_path = public, pg_temp', f.name);
    EXECUTE format('ALTER FUNCTION %s SET plan_cache_mode = force_generic_plan', f.name);
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'gauge_in_calibration', 'may_see_oxygen', 'worked_on', 'serial_match']) LOOP
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
END $$;
