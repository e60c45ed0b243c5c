-- What the bench knows: limits of a bench test, how a model is built, kits, work orders, test gauges,
-- bench tests with their readings, serial ranges of notices, custody of a sealed set, and what things cost.
--
-- Pressures are whole hundredths of a bar, efforts whole hundredths of a millibar, money whole cents.

ALTER TABLE site
  ADD COLUMN release_by_second boolean NOT NULL DEFAULT false,
  -- How many days a set is away for a service: bath, drying and the night under pressure included.
  ADD COLUMN bench_days        int NOT NULL DEFAULT 3 CHECK (bench_days BETWEEN 1 AND 60),
  ADD COLUMN currency          text    NOT NULL DEFAULT 'EUR' CHECK (currency ~ '^[A-Z]{3}$'),
  -- Null: not known, and nothing that needs it is reckoned.
  ADD COLUMN bench_hour_cents  int CHECK (bench_hour_cents BETWEEN 0 AND 10000000),
  ADD COLUMN hire_cents        int CHECK (hire_cents BETWEEN 0 AND 10000000),
  ADD COLUMN interest_permille int NOT NULL DEFAULT 50 CHECK (interest_permille BETWEEN 0 AND 1000);

-- `retest_seq`: the last act after which the set has to be tested (opened, refitted, serviced).
-- `tested_seq`: the last bench test it passed as left.
ALTER TABLE regulator_set
  ADD COLUMN retest_seq int NOT NULL DEFAULT 0,
  ADD COLUMN tested_seq int NOT NULL DEFAULT 0,
  ADD CONSTRAINT regulator_set_tests_in_step CHECK (greatest(retest_seq, tested_seq) <= seq);

ALTER TABLE act_kind ADD COLUMN asks_test boolean NOT NULL DEFAULT false;

-- ── Models ──────────────────────────────────────────────────────────────────────────────

-- One limit of one model as accepted from a manual: a new row each time, the highest `nth` is in force.
-- Neither low nor high: the limit was taken back, and the reading is not judged.
CREATE TABLE bench_limit (
  id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  model_id    uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  name        text NOT NULL CHECK (name IN ('intermediate-pressure', 'creep', 'supply-change', 'cracking-effort-primary',
                'cracking-effort-alternate', 'exhalation-effort', 'gauge-error-low', 'gauge-error')),
  nth         int  NOT NULL CHECK (nth >= 1),
  low         int,
  high        int,
  manual_page text NOT NULL CHECK (manual_page <> ''),
  accepted_by uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  accepted_at timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (model_id, name, nth),
  CHECK (low <= high)
);

CREATE TABLE model_build (
  id                  bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  model_id            uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  nth                 int  NOT NULL CHECK (nth >= 1),
  balance             text CHECK (balance IN ('balanced', 'unbalanced-piston', 'unbalanced-diaphragm')),
  hp_ports            int CHECK (hp_ports BETWEEN 0 AND 10),
  lp_ports            int CHECK (lp_ports BETWEEN 0 AND 10),
  lp_half_inch_ports  int CHECK (lp_half_inch_ports BETWEEN 0 AND 10),
  plugs_into          text CHECK (plugs_into IN ('lp-3/8', 'lp-1/2', 'hp-7/16')),
  service_minutes     int CHECK (service_minutes BETWEEN 1 AND 1000),
  inspection_minutes  int CHECK (inspection_minutes BETWEEN 1 AND 1000),
  manual_page         text NOT NULL CHECK (manual_page <> ''),
  accepted_by         uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  accepted_at         timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (model_id, nth)
);

-- ── Kits ────────────────────────────────────────────────────────────────────────────────

CREATE TABLE kit (
  id          uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  maker       text NOT NULL CHECK (maker <> ''),
  name        text NOT NULL CHECK (name <> ''),
  price_cents int CHECK (price_cents BETWEEN 0 AND 10000000),
  lead_days   int CHECK (lead_days BETWEEN 0 AND 1000),
  created_at  timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (maker, name)
);

-- The kits one service of a model uses up, as accepted from a manual; the highest `nth` is in force.
-- A list without lines says: the service needs no kit.
CREATE TABLE model_kit_list (
  id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  model_id    uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  nth         int  NOT NULL CHECK (nth >= 1),
  manual_page text NOT NULL CHECK (manual_page <> ''),
  accepted_by uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  accepted_at timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (model_id, nth)
);

CREATE TABLE model_kit_line (
  list_id  bigint NOT NULL REFERENCES model_kit_list ON DELETE RESTRICT,
  kit_id   uuid NOT NULL REFERENCES kit ON DELETE RESTRICT,
  quantity int NOT NULL CHECK (quantity BETWEEN 1 AND 100),
  PRIMARY KEY (list_id, kit_id)
);

-- ── Work orders ─────────────────────────────────────────────────────────────────────────

-- Waiting until taken, then on the bench, until done or dropped. Awaiting parts while a park is open.
CREATE TABLE work_order (
  id         uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id    uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  set_id     uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  kind       text NOT NULL CHECK (kind IN ('inspection', 'service', 'repair', 'bedding-check', 'notice', 'new-component')),
  fault_id   uuid REFERENCES fault ON DELETE RESTRICT,
  notice_id  uuid REFERENCES notice ON DELETE RESTRICT,
  -- The week it is planned for (a Monday), when a plan asked for it.
  week_on    date,
  words      text NOT NULL,
  opened_seq int NOT NULL,
  opened_at  timestamptz NOT NULL,
  opened_by  uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  taken_seq  int CHECK (taken_seq > opened_seq),
  taken_at   timestamptz,
  taken_by   uuid REFERENCES staff ON DELETE RESTRICT,
  done_seq   int CHECK (done_seq > opened_seq),
  done_at    timestamptz,
  done_by    uuid REFERENCES staff ON DELETE RESTRICT,
  outcome    text CHECK (outcome IN ('done', 'dropped')),
  minutes    int CHECK (minutes BETWEEN 0 AND 10000),
  done_words text,
  CHECK ((taken_at IS NULL) = (taken_seq IS NULL) AND (taken_at IS NULL) = (taken_by IS NULL)),
  CHECK ((done_at IS NULL) = (done_seq IS NULL) AND (done_at IS NULL) = (done_by IS NULL) AND (done_at IS NULL) = (outcome IS NULL) AND (done_at IS NULL) = (done_words IS NULL)),
  CHECK (outcome IS DISTINCT FROM 'done' OR (taken_at IS NOT NULL AND minutes IS NOT NULL)),
  CHECK ((kind = 'repair') = (fault_id IS NOT NULL) AND (kind = 'notice') = (notice_id IS NOT NULL))
);
-- A set lies on one bench at a time.
CREATE UNIQUE INDEX work_order_one_taken ON work_order (set_id) WHERE taken_at IS NOT NULL AND done_at IS NULL;
-- The same reason asks once.
CREATE UNIQUE INDEX work_order_one_reason ON work_order (set_id, kind, coalesce(fault_id, notice_id, set_id)) WHERE done_at IS NULL;
CREATE INDEX work_order_open ON work_order (site_id) WHERE done_at IS NULL;
CREATE INDEX work_order_by_set ON work_order (set_id, opened_at);

CREATE TABLE work_order_park (
  id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  order_id    uuid NOT NULL REFERENCES work_order ON DELETE RESTRICT,
  why         text NOT NULL CHECK (why <> ''),
  expected_on date,
  from_at     timestamptz NOT NULL,
  from_by     uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  until_at    timestamptz CHECK (until_at >= from_at),
  until_by    uuid REFERENCES staff ON DELETE RESTRICT,
  CHECK ((until_at IS NULL) = (until_by IS NULL))
);
CREATE UNIQUE INDEX work_order_park_one_open ON work_order_park (order_id) WHERE until_at IS NULL;

ALTER TABLE component_work ADD COLUMN order_id uuid REFERENCES work_order ON DELETE RESTRICT;
CREATE INDEX component_work_by_order ON component_work (order_id);

-- What is on the shelf is the sum of these. Used up by work on a component; received; or put right by a count.
CREATE TABLE kit_movement (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  site_id      uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  kit_id       uuid NOT NULL REFERENCES kit ON DELETE RESTRICT,
  kind         text NOT NULL CHECK (kind IN ('received', 'counted', 'used')),
  quantity     int NOT NULL CHECK (quantity BETWEEN -100000 AND 100000),
  lot          text,
  component_id uuid REFERENCES component ON DELETE RESTRICT,
  order_id     uuid REFERENCES work_order ON DELETE RESTRICT,
  words        text NOT NULL,
  at           timestamptz NOT NULL,
  by           uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  CHECK (kind <> 'received' OR quantity > 0),
  CHECK ((kind = 'used') = (component_id IS NOT NULL) AND (kind <> 'used' OR (quantity < 0 AND coalesce(lot, '') <> '')))
);
CREATE INDEX kit_movement_stock ON kit_movement (site_id, kit_id);
CREATE INDEX kit_movement_by_component ON kit_movement (component_id, at) WHERE component_id IS NOT NULL;

CREATE TABLE kit_order (
  id          uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id     uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  kit_id      uuid NOT NULL REFERENCES kit ON DELETE RESTRICT,
  quantity    int NOT NULL CHECK (quantity BETWEEN 1 AND 100000),
  ordered_on  date NOT NULL,
  expected_on date NOT NULL CHECK (expected_on >= ordered_on),
  ordered_by  uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  ordered_at  timestamptz NOT NULL,
  closed_at   timestamptz,
  closed_by   uuid REFERENCES staff ON DELETE RESTRICT,
  received    int CHECK (received BETWEEN 0 AND 100000),
  CHECK ((closed_at IS NULL) = (closed_by IS NULL) AND (closed_at IS NULL) = (received IS NULL))
);
CREATE INDEX kit_order_open ON kit_order (site_id, expected_on) WHERE closed_at IS NULL;

-- ── Test gauges and bench tests ─────────────────────────────────────────────────────────

CREATE TABLE test_gauge (
  id          uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id     uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  name        text NOT NULL CHECK (name <> ''),
  serial      text NOT NULL CHECK (serial <> ''),
  measures    text NOT NULL CHECK (measures IN ('pressure', 'effort')),
  span_low    int NOT NULL,
  span_high   int NOT NULL CHECK (span_high > span_low),
  -- EN 837-1 accuracy class in tenths of a percent of the span.
  class_tenths int NOT NULL CHECK (class_tenths BETWEEN 1 AND 100),
  added_by    uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  added_at    timestamptz NOT NULL DEFAULT kitroom_clock(),
  retired_at  timestamptz,
  UNIQUE (site_id, name)
);

CREATE TABLE gauge_calibration (
  id            bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  gauge_id      uuid NOT NULL REFERENCES test_gauge ON DELETE RESTRICT,
  calibrated_on date NOT NULL,
  valid_until_on   date NOT NULL CHECK (valid_until_on >= calibrated_on),
  certificate   text NOT NULL CHECK (certificate <> ''),
  noted_by      uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  noted_at      timestamptz NOT NULL DEFAULT kitroom_clock()
);
CREATE INDEX gauge_calibration_newest ON gauge_calibration (gauge_id, calibrated_on);

CREATE TABLE bench_test (
  id        uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  set_id    uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  seq       int NOT NULL,
  order_id  uuid REFERENCES work_order ON DELETE RESTRICT,
  phase     text NOT NULL CHECK (phase IN ('as-found', 'as-left')),
  verdict   text NOT NULL CHECK (verdict IN ('pass', 'fail', 'not-judged')),
  words     text NOT NULL,
  tested_on date NOT NULL,
  tested_by uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  tested_at timestamptz NOT NULL,
  UNIQUE (set_id, seq)
);

CREATE TABLE bench_reading (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  test_id      uuid NOT NULL REFERENCES bench_test ON DELETE RESTRICT,
  component_id uuid NOT NULL REFERENCES component ON DELETE RESTRICT,
  name         text NOT NULL CHECK (name IN ('intermediate-pressure', 'creep', 'supply-change', 'cracking-effort', 'exhalation-effort',
                 'vacuum-held', 'immersion-leak', 'gauge-zero', 'gauge-error', 'drop-at-purge')),
  supply_cbar  int CHECK (supply_cbar BETWEEN 0 AND 100000),
  -- The master's own reading, where a gauge is compared with it.
  at_cbar      int CHECK (at_cbar BETWEEN 0 AND 100000),
  value        int NOT NULL,
  adjuster     text CHECK (adjuster IN ('in', 'middle', 'out', 'none')),
  venturi      text CHECK (venturi IN ('dive', 'pre-dive', 'none')),
  gauge_id     uuid REFERENCES test_gauge ON DELETE RESTRICT,
  verdict      text NOT NULL CHECK (verdict IN ('pass', 'fail', 'not-judged')),
  why          text,
  low          int,
  high         int
);
CREATE INDEX bench_reading_by_test ON bench_reading (test_id);
-- A component's own history of one reading.
CREATE INDEX bench_reading_by_component ON bench_reading (component_id, name);

CREATE TABLE bench_curve (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  test_id      uuid NOT NULL REFERENCES bench_test ON DELETE RESTRICT,
  component_id uuid NOT NULL REFERENCES component ON DELETE RESTRICT,
  supply_cbar  int NOT NULL CHECK (supply_cbar BETWEEN 0 AND 100000),
  -- [[seconds, hundredths of a bar], …] as read.
  points       jsonb NOT NULL CHECK (jsonb_typeof(points) = 'array')
);
CREATE INDEX bench_curve_by_test ON bench_curve (test_id);

-- ── Faults, notices, evidence ───────────────────────────────────────────────────────────

-- What the technician found of a fault that was reported.
ALTER TABLE fault
  ADD COLUMN confirm_seq     int CHECK (confirm_seq > report_seq),
  ADD COLUMN confirmed_at    timestamptz,
  ADD COLUMN confirmed_by    uuid REFERENCES staff ON DELETE RESTRICT,
  ADD COLUMN found_code      text CHECK (found_code ~ '^[A-Z]{2}-[0-9]{2}$'),
  ADD COLUMN found_component uuid REFERENCES component ON DELETE RESTRICT,
  ADD COLUMN found_words     text,
  ADD CONSTRAINT fault_confirmed_whole CHECK ((confirmed_at IS NULL) = (confirm_seq IS NULL) AND (confirmed_at IS NULL) = (confirmed_by IS NULL)
    AND (confirmed_at IS NULL) = (found_code IS NULL) AND (confirmed_at IS NULL) = (found_words IS NULL));

CREATE TABLE fault_photo (
  id         uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  fault_id   uuid NOT NULL REFERENCES fault ON DELETE RESTRICT,
  media_type text NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png', 'image/webp')),
  bytes      bytea NOT NULL CHECK (length(bytes) BETWEEN 1 AND 2000000),
  taken_by   uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  taken_at   timestamptz NOT NULL
);
CREATE INDEX fault_photo_by_fault ON fault_photo (fault_id);

-- A site's own severity for a line of the fault list; the newest counts, for faults reported from then on.
CREATE TABLE fault_tuning (
  id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  site_id  uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  code     text NOT NULL CHECK (code ~ '^[A-Z]{2}-[0-9]{2}$'),
  severity text NOT NULL CHECK (severity IN ('out', 'hold', 'watch')),
  set_by   uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  set_at   timestamptz NOT NULL DEFAULT kitroom_clock()
);
CREATE INDEX fault_tuning_newest ON fault_tuning (site_id, code, id);

-- Which serials a notice is about. Without numbers: every one of the model.
CREATE TABLE notice_range (
  id        bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  notice_id uuid NOT NULL REFERENCES notice ON DELETE RESTRICT,
  model_id  uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  -- The letters before the digits, in capitals; '' for none.
  prefix    text NOT NULL CHECK (prefix ~ '^[A-Z]*$'),
  digits    int CHECK (digits BETWEEN 1 AND 17),
  low       bigint CHECK (low >= 0),
  high      bigint CHECK (high >= low),
  CHECK ((digits IS NULL) = (low IS NULL) AND (low IS NULL) = (high IS NULL)),
  CHECK (high < (10 ^ digits)::bigint)
);
CREATE INDEX notice_range_by_model ON notice_range (model_id);

-- Why the component was matched.
ALTER TABLE notice_match ADD COLUMN why text CHECK (why IN ('in-range', 'every-serial', 'serial-unknown', 'near-miss'));

-- Where a sealed set went, from hand to hand.
CREATE TABLE custody_note (
  id        bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  set_id    uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  seq       int NOT NULL,
  from_hand text NOT NULL CHECK (from_hand <> ''),
  to_hand   text NOT NULL CHECK (to_hand <> ''),
  place     text NOT NULL CHECK (place <> ''),
  words     text NOT NULL,
  noted_by  uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  noted_at  timestamptz NOT NULL,
  UNIQUE (set_id, seq)
);

-- ── Money ───────────────────────────────────────────────────────────────────────────────

-- A site's own figures for a model; the highest `nth` counts. Null is "not known", never nought.
CREATE TABLE model_money (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  site_id      uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  model_id     uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  nth          int NOT NULL CHECK (nth >= 1),
  price_cents  int CHECK (price_cents BETWEEN 0 AND 100000000),
  resale_cents int CHECK (resale_cents BETWEEN 0 AND 100000000),
  life_years   int CHECK (life_years BETWEEN 1 AND 50),
  set_by       uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  set_at       timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (site_id, model_id, nth)
);

-- ── History stands here too ─────────────────────────────────────────────────────────────

DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['bench_limit','model_build','kit','model_kit_list','model_kit_line','work_order','work_order_park','kit_movement','kit_order',
      'test_gauge','gauge_calibration','bench_test','bench_reading','bench_curve','fault_photo','fault_tuning','notice_range','custody_note','model_money'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE DELETE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_delete', t);
    EXECUTE format('CREATE TRIGGER %I BEFORE TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION history_stands()', t || '_no_truncate', t);
  END LOOP;
  FOREACH t IN ARRAY ARRAY['bench_limit','model_build','model_kit_list','model_kit_line','kit_movement','gauge_calibration','bench_test','bench_reading',
      'bench_curve','fault_photo','fault_tuning','notice_range','custody_note','model_money'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE UPDATE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_update', t);
  END LOOP;
END $$;

CREATE TRIGGER work_order_fill BEFORE UPDATE ON work_order FOR EACH ROW
  EXECUTE FUNCTION fill_once('taken_seq', 'taken_at', 'taken_by', 'done_seq', 'done_at', 'done_by', 'outcome', 'minutes', 'done_words');
CREATE TRIGGER work_order_park_fill BEFORE UPDATE ON work_order_park FOR EACH ROW EXECUTE FUNCTION fill_once('until_at', 'until_by');
CREATE TRIGGER kit_order_fill BEFORE UPDATE ON kit_order FOR EACH ROW EXECUTE FUNCTION fill_once('closed_at', 'closed_by', 'received');
CREATE TRIGGER test_gauge_fill BEFORE UPDATE ON test_gauge FOR EACH ROW EXECUTE FUNCTION fill_once('retired_at');
DROP TRIGGER fault_fill ON fault;
CREATE TRIGGER fault_fill BEFORE UPDATE ON fault FOR EACH ROW EXECUTE FUNCTION fill_once('clear_seq', 'cleared_at', 'cleared_by', 'outcome', 'clear_words',
  'confirm_seq', 'confirmed_at', 'confirmed_by', 'found_code', 'found_component', 'found_words');

-- A set's marks are moved by acts alone. A seal is lifted only by an act that leaves the set to be washed, tested and released.
CREATE OR REPLACE FUNCTION seq_only_grows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.seq <> OLD.seq + 1 OR NEW.tag <> OLD.tag
     OR NEW.soiled_seq < OLD.soiled_seq OR NEW.unreleased_seq < OLD.unreleased_seq OR NEW.retest_seq < OLD.retest_seq
     OR (OLD.retired_seq IS NOT NULL AND NEW.retired_seq IS DISTINCT FROM OLD.retired_seq)
     OR (OLD.evidence_seq IS NOT NULL AND NEW.evidence_seq IS DISTINCT FROM OLD.evidence_seq
         AND (NEW.evidence_seq IS NOT NULL OR least(NEW.soiled_seq, NEW.unreleased_seq, NEW.retest_seq) < NEW.seq)) THEN
    RAISE EXCEPTION 'UPDATE on regulator_set is refused: it changes only by acts, one number at a time' USING ERRCODE = 'HR409';
  END IF;
  RETURN NEW;
END $$;
