-- The facts of the kit room. History is append-only; what a set may do is computed from it.
--
-- Days are `date` (the site's own calendar), instants are `timestamptz`. Dives are whole
-- numbers, time under water whole minutes, oxygen whole tenths of a percent, temperatures
-- whole tenths of a degree Celsius, strengths whole hundredths of a percent.

CREATE EXTENSION IF NOT EXISTS btree_gist;

-- The one clock of every act: the database's own, read when it is asked, not when the transaction began.
-- Only the owner of the tables can put another in its place (a demo fleet's history, a test of a wrong clock).
CREATE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql VOLATILE AS $$ SELECT pg_catalog.clock_timestamp() $$;

-- ── Sites, people, devices ──────────────────────────────────────────────────────────────

CREATE TABLE site (
  id                  uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  name                text NOT NULL UNIQUE CHECK (name <> ''),
  time_zone           text NOT NULL,
  units               text NOT NULL CHECK (units IN ('metric', 'us')),
  teaching_months     int  NOT NULL DEFAULT 6   CHECK (teaching_months BETWEEN 1 AND 120),
  shelf_months        int  NOT NULL DEFAULT 12  CHECK (shelf_months BETWEEN 1 AND 120),
  bedding_dives       int  NOT NULL DEFAULT 10  CHECK (bedding_dives BETWEEN 1 AND 1000),
  bedding_days        int  NOT NULL DEFAULT 30  CHECK (bedding_days BETWEEN 1 AND 1000),
  nitrox_above_tenths int  NOT NULL DEFAULT 220 CHECK (nitrox_above_tenths BETWEEN 210 AND 1000),
  nitrox_needs_m26    boolean NOT NULL DEFAULT true,
  minutes_per_dive    int  NOT NULL DEFAULT 60  CHECK (minutes_per_dive BETWEEN 1 AND 600),
  drying_minutes      int  NOT NULL DEFAULT 120 CHECK (drying_minutes BETWEEN 0 AND 2880),
  retention_months    int  NOT NULL DEFAULT 24  CHECK (retention_months BETWEEN 1 AND 240),
  created_at          timestamptz NOT NULL DEFAULT kitroom_clock()
);

CREATE TABLE staff (
  id            uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  name          text NOT NULL CHECK (name <> ''),
  login         text NOT NULL UNIQUE CHECK (login = lower(login) AND login <> ''),
  password_hash text NOT NULL,
  pin_hash      text,
  created_at    timestamptz NOT NULL DEFAULT kitroom_clock(),
  closed_at     timestamptz
);

CREATE TABLE staff_role (
  id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  staff_id uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  site_id  uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  role     text NOT NULL CHECK (role IN ('desk', 'wash-room', 'technician', 'manager')),
  from_at  timestamptz NOT NULL DEFAULT kitroom_clock(),
  until_at timestamptz CHECK (until_at >= from_at)
);
-- One live grant of a role to a person at a site; also answers "which roles has this person here?".
CREATE UNIQUE INDEX staff_role_one_live ON staff_role (staff_id, site_id, role) WHERE until_at IS NULL;

CREATE TABLE authorisation (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  staff_id     uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  maker        text NOT NULL CHECK (maker <> ''),
  oxygen_clean boolean NOT NULL DEFAULT false,
  from_on      date NOT NULL,
  until_on     date NOT NULL CHECK (until_on >= from_on),
  evidence     text NOT NULL CHECK (evidence <> ''),
  given_by     uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  given_at     timestamptz NOT NULL DEFAULT kitroom_clock()
);
CREATE INDEX authorisation_by_person ON authorisation (staff_id, maker, until_on);

CREATE TABLE device (
  id          uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id     uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  name        text NOT NULL CHECK (name <> ''),
  token_hash  bytea NOT NULL UNIQUE,
  enrolled_by uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  enrolled_at timestamptz NOT NULL DEFAULT kitroom_clock(),
  revoked_at  timestamptz
);

CREATE TABLE session (
  id           uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  token_hash   bytea NOT NULL UNIQUE,
  staff_id     uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  site_id      uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  device_id    uuid REFERENCES device ON DELETE RESTRICT,
  opened_with  text NOT NULL CHECK (opened_with IN ('password', 'pin')),
  opened_at    timestamptz NOT NULL DEFAULT kitroom_clock(),
  last_seen_at timestamptz NOT NULL DEFAULT kitroom_clock(),
  expires_at   timestamptz NOT NULL,
  ended_at     timestamptz
);
CREATE INDEX session_live_by_person ON session (staff_id) WHERE ended_at IS NULL;

-- Failed sign-ins, counted per person and device (`pin:…`) and per login name (`password:…`).
CREATE TABLE attempt_limit (
  key           text PRIMARY KEY,
  failures      int NOT NULL,
  last_at       timestamptz NOT NULL,
  blocked_until timestamptz
);

-- Refusals worth looking at later: wrong PINs, acts without the right, held hand-outs.
CREATE TABLE security_log (
  id        bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  at        timestamptz NOT NULL DEFAULT kitroom_clock(),
  kind      text NOT NULL,
  staff_id  uuid,
  device_id uuid,
  site_id   uuid,
  detail    jsonb NOT NULL DEFAULT '{}'
);
CREATE INDEX security_log_at ON security_log (at);

-- ── Models and what their makers say ────────────────────────────────────────────────────

CREATE TABLE model (
  id         uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  kind       text NOT NULL CHECK (kind IN ('first-stage', 'second-stage', 'gauge', 'inflator', 'hose', 'transmitter')),
  maker      text NOT NULL CHECK (maker <> ''),
  name       text NOT NULL CHECK (name <> ''),
  created_at timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (maker, name, kind)
);

-- Limits as accepted from a manual: a new row each time, the highest `nth` is in force.
-- A null limb has no limit. No row at all means "not judged".
CREATE TABLE model_limits (
  id                 bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  model_id           uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  nth                int  NOT NULL CHECK (nth >= 1),
  service_months     int CHECK (service_months BETWEEN 1 AND 240),
  service_dives      int CHECK (service_dives BETWEEN 1 AND 100000),
  service_minutes    int CHECK (service_minutes BETWEEN 1 AND 6000000),
  has_inspection     boolean NOT NULL,
  inspection_months  int CHECK (inspection_months BETWEEN 1 AND 240),
  inspection_dives   int CHECK (inspection_dives BETWEEN 1 AND 100000),
  inspection_minutes int CHECK (inspection_minutes BETWEEN 1 AND 6000000),
  max_o2_tenths      int CHECK (max_o2_tenths BETWEEN 210 AND 1000),
  cold_rating        text NOT NULL CHECK (cold_rating IN ('tested-4C', 'warm-only', 'unknown')),
  connection         text CHECK (connection IN ('yoke', 'din-232', 'din-300', 'm26')),
  max_supply_bar     int CHECK (max_supply_bar BETWEEN 1 AND 1000),
  manual_page        text NOT NULL CHECK (manual_page <> ''),
  accepted_by        uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  accepted_at        timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (model_id, nth),
  CHECK (has_inspection OR (inspection_months IS NULL AND inspection_dives IS NULL AND inspection_minutes IS NULL))
);

CREATE TABLE pairing (
  id              bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  first_model_id  uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  second_model_id uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  manual_page     text NOT NULL CHECK (manual_page <> ''),
  approved_by     uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  approved_at     timestamptz NOT NULL DEFAULT kitroom_clock(),
  withdrawn_at    timestamptz
);
CREATE UNIQUE INDEX pairing_one_live ON pairing (first_model_id, second_model_id) WHERE withdrawn_at IS NULL;

-- ── Sets, components, fittings ──────────────────────────────────────────────────────────

-- `seq` counts the acts on a set. The other numbers say at which act something last happened;
-- they follow from `record_entry` alone and the state is always computed by comparing them.
CREATE TABLE regulator_set (
  id             uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  tag            text NOT NULL UNIQUE CHECK (tag ~ '^[A-Z0-9][A-Z0-9-]{0,19}$'),
  site_id        uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  seq            int NOT NULL DEFAULT 0,
  soiled_seq     int NOT NULL DEFAULT 0,
  cleaned_seq    int NOT NULL DEFAULT 0,
  unreleased_seq int NOT NULL DEFAULT 0,
  released_seq   int NOT NULL DEFAULT 0,
  retired_seq    int,
  evidence_seq   int,
  last_at        timestamptz NOT NULL DEFAULT kitroom_clock(),
  CONSTRAINT regulator_set_in_step CHECK (greatest(soiled_seq, cleaned_seq, unreleased_seq, released_seq, retired_seq, evidence_seq) <= seq)
) WITH (fillfactor = 70);
CREATE INDEX regulator_set_by_site ON regulator_set (site_id, tag);

-- The `…_total` columns are the component's reading, like an odometer: they only ever grow, by
-- `component_use` rows. `serviced_…` and `checked_…` are the reading at the last service and at
-- the last service or inspection.
CREATE TABLE component (
  id               uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  model_id         uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  site_id          uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  -- Null: the part carries no number (many hoses and gauges). It is told by where it sits.
  serial           text CHECK (serial <> ''),
  bought_on        date,
  in_use_on        date,
  dives_total      int NOT NULL DEFAULT 0 CHECK (dives_total >= 0),
  minutes_total    int NOT NULL DEFAULT 0 CHECK (minutes_total >= 0),
  taught_total     int NOT NULL DEFAULT 0 CHECK (taught_total >= 0),
  last_used_on     date,
  serviced_on      date,
  serviced_dives   int NOT NULL DEFAULT 0,
  serviced_minutes int NOT NULL DEFAULT 0,
  serviced_taught  int NOT NULL DEFAULT 0,
  inspected_on     date,
  checked_on       date,
  checked_dives    int NOT NULL DEFAULT 0,
  checked_minutes  int NOT NULL DEFAULT 0,
  bedding_on       date,
  -- False: a sheet brought it in without saying how much it was used since its last service.
  -- Nothing that counts dives or hours can be judged until the next service.
  counts_known     boolean NOT NULL DEFAULT true,
  created_at       timestamptz NOT NULL DEFAULT kitroom_clock(),
  UNIQUE (model_id, serial),
  -- A reading at some past work is never above the reading now.
  CONSTRAINT component_serviced_reading CHECK (serviced_dives BETWEEN 0 AND dives_total AND serviced_minutes BETWEEN 0 AND minutes_total AND serviced_taught BETWEEN 0 AND taught_total),
  CONSTRAINT component_checked_reading CHECK (checked_dives BETWEEN 0 AND dives_total AND checked_minutes BETWEEN 0 AND minutes_total)
) WITH (fillfactor = 70);

CREATE TABLE fitting (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  set_id       uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  component_id uuid NOT NULL REFERENCES component ON DELETE RESTRICT,
  position     text NOT NULL CHECK (position IN ('first-stage', 'primary', 'alternate', 'gauge', 'inflator-hose', 'hose', 'transmitter')),
  from_seq     int NOT NULL,
  from_at      timestamptz NOT NULL,
  until_seq    int,
  until_at     timestamptz,
  CONSTRAINT fitting_ends_after CHECK (until_at >= from_at AND until_seq > from_seq),
  CONSTRAINT fitting_ends_once CHECK ((until_at IS NULL) = (until_seq IS NULL)),
  -- A component is in one place at a time, at every instant of its history.
  CONSTRAINT fitting_one_place EXCLUDE USING gist (component_id WITH =, tstzrange(from_at, until_at) WITH &&)
);
CREATE UNIQUE INDEX fitting_one_open ON fitting (component_id) WHERE until_at IS NULL;
CREATE UNIQUE INDEX fitting_one_breathing_path ON fitting (set_id, position)
  WHERE until_at IS NULL AND position IN ('first-stage', 'primary');
-- "What is this set made of now?", asked at every gate.
CREATE INDEX fitting_now ON fitting (set_id) WHERE until_at IS NULL;

-- What an imported sheet said of a component, so that the same sheet is known when it comes again.
CREATE TABLE component_import (
  component_id uuid PRIMARY KEY REFERENCES component ON DELETE RESTRICT,
  facts        jsonb NOT NULL,
  at           timestamptz NOT NULL
);

-- ── Hires ───────────────────────────────────────────────────────────────────────────────

-- Names live apart from the hires, so that they can be erased without touching history.
CREATE TABLE hirer (
  id         uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  name       text,
  contact    text,
  created_at timestamptz NOT NULL DEFAULT kitroom_clock(),
  erased_at  timestamptz
);

CREATE TABLE hire (
  id                  uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id             uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  hirer_id            uuid NOT NULL REFERENCES hirer ON DELETE RESTRICT,
  back_on             date NOT NULL,
  dives               int NOT NULL CHECK (dives BETWEEN 0 AND 1000),
  minutes             int NOT NULL CHECK (minutes BETWEEN 0 AND 100000),
  teaching            boolean NOT NULL,
  cylinder_connection text NOT NULL CHECK (cylinder_connection IN ('yoke', 'din-232', 'din-300', 'm26')),
  cylinder_bar        int NOT NULL CHECK (cylinder_bar BETWEEN 1 AND 1000),
  o2_tenths           int NOT NULL CHECK (o2_tenths BETWEEN 210 AND 1000),
  water_tenths_c      int NOT NULL CHECK (water_tenths_c BETWEEN -30 AND 450),
  depth_m             int NOT NULL CHECK (depth_m BETWEEN 0 AND 350),
  out_at              timestamptz NOT NULL,
  out_by              uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  device_id           uuid REFERENCES device ON DELETE RESTRICT,
  request_id          uuid NOT NULL UNIQUE
);
CREATE INDEX hire_by_site ON hire (site_id, out_at);

CREATE TABLE hire_line (
  id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  hire_id    uuid NOT NULL REFERENCES hire ON DELETE RESTRICT,
  set_id     uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  out_seq    int NOT NULL,
  out_at     timestamptz NOT NULL,
  back_on    date NOT NULL,
  back_seq   int,
  back_at    timestamptz,
  back_by    uuid REFERENCES staff ON DELETE RESTRICT,
  dives      int CHECK (dives BETWEEN 0 AND 1000),
  minutes    int CHECK (minutes BETWEEN 0 AND 100000),
  estimated  boolean,
  water_kind text CHECK (water_kind IN ('sea', 'fresh', 'pool', 'none')),
  problem    boolean,
  words      text,
  CONSTRAINT hire_line_back_after_out CHECK (back_seq > out_seq),
  CONSTRAINT hire_line_back_whole CHECK (
    (back_at IS NULL) = (back_seq IS NULL) AND (back_at IS NULL) = (back_by IS NULL) AND (back_at IS NULL) = (dives IS NULL) AND (back_at IS NULL) = (minutes IS NULL)
    AND (back_at IS NULL) = (estimated IS NULL) AND (back_at IS NULL) = (water_kind IS NULL) AND (back_at IS NULL) = (problem IS NULL)),
  -- A set that went in the water counts at least one dive.
  CONSTRAINT hire_line_wet_counts CHECK (dives > 0 OR water_kind = 'none')
);
-- A set is with at most one hirer at a time.
CREATE UNIQUE INDEX hire_line_one_open ON hire_line (set_id) WHERE back_at IS NULL;
CREATE INDEX hire_line_by_set ON hire_line (set_id, out_at);
CREATE INDEX hire_line_by_hire ON hire_line (hire_id);
-- "Which sets are late?"
CREATE INDEX hire_line_out ON hire_line (back_on) WHERE back_at IS NULL;

-- What a component has lived through, one row a return: dives follow the component.
CREATE TABLE component_use (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  component_id uuid NOT NULL REFERENCES component ON DELETE RESTRICT,
  line_id      bigint REFERENCES hire_line ON DELETE RESTRICT,
  dives        int NOT NULL CHECK (dives >= 0),
  minutes      int NOT NULL CHECK (minutes >= 0),
  taught       boolean NOT NULL,
  estimated    boolean NOT NULL,
  used_on      date,
  at           timestamptz NOT NULL
);
CREATE INDEX component_use_by_component ON component_use (component_id, id);
CREATE UNIQUE INDEX component_use_once_per_line ON component_use (line_id, component_id) WHERE line_id IS NOT NULL;

-- ── Wash room ───────────────────────────────────────────────────────────────────────────

CREATE TABLE disinfectant (
  id                     uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  name                   text NOT NULL UNIQUE CHECK (name <> ''),
  strength_hundredths    int NOT NULL CHECK (strength_hundredths BETWEEN 1 AND 10000),
  min_ppm                int NOT NULL CHECK (min_ppm >= 1),
  max_ppm                int NOT NULL CHECK (max_ppm >= min_ppm),
  wet_minutes            int NOT NULL CHECK (wet_minutes BETWEEN 1 AND 1440),
  bath_hours             int NOT NULL CHECK (bath_hours BETWEEN 1 AND 720),
  label_page             text NOT NULL CHECK (label_page <> ''),
  accepted_by            uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  accepted_at            timestamptz NOT NULL DEFAULT kitroom_clock(),
  withdrawn_at           timestamptz
);

CREATE TABLE disinfectant_approval (
  disinfectant_id uuid NOT NULL REFERENCES disinfectant ON DELETE RESTRICT,
  model_id        uuid NOT NULL REFERENCES model ON DELETE RESTRICT,
  manual_page     text NOT NULL CHECK (manual_page <> ''),
  approved_by     uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  approved_at     timestamptz NOT NULL DEFAULT kitroom_clock(),
  PRIMARY KEY (disinfectant_id, model_id)
);

CREATE TABLE bath (
  id              uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id         uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  disinfectant_id uuid NOT NULL REFERENCES disinfectant ON DELETE RESTRICT,
  label           text NOT NULL CHECK (label <> ''),
  lot             text,
  product_ml      int NOT NULL CHECK (product_ml >= 1),
  water_ml        int NOT NULL CHECK (water_ml >= 0),
  ppm             int NOT NULL CHECK (ppm >= 1),
  mixed_at        timestamptz NOT NULL,
  mixed_by        uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  expires_at      timestamptz NOT NULL CHECK (expires_at > mixed_at),
  emptied_at      timestamptz
);
CREATE INDEX bath_in_use ON bath (site_id, expires_at) WHERE emptied_at IS NULL;

CREATE TABLE cleaning_run (
  id           uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id      uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  bath_id      uuid NOT NULL REFERENCES bath ON DELETE RESTRICT,
  started_at   timestamptz NOT NULL,
  started_by   uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  wet_until    timestamptz NOT NULL CHECK (wet_until > started_at),
  wet_ended_at timestamptz CHECK (wet_ended_at >= wet_until),
  dry_from     timestamptz,
  closed_at    timestamptz
);
CREATE INDEX cleaning_run_open ON cleaning_run (site_id) WHERE closed_at IS NULL;

CREATE TABLE cleaning_run_set (
  run_id        uuid NOT NULL REFERENCES cleaning_run ON DELETE RESTRICT,
  set_id        uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  start_seq     int NOT NULL,
  wet_seq       int CHECK (wet_seq > start_seq),
  clean_seq     int CHECK (clean_seq > wet_seq),
  abandoned_seq int CHECK (abandoned_seq > start_seq),
  PRIMARY KEY (run_id, set_id),
  CONSTRAINT cleaning_run_set_one_end CHECK (clean_seq IS NULL OR abandoned_seq IS NULL),
  -- Clean only after the bath.
  CONSTRAINT cleaning_run_set_wet_first CHECK (clean_seq IS NULL OR wet_seq IS NOT NULL)
);
-- A set is in at most one bath or on one drying rail.
CREATE UNIQUE INDEX cleaning_run_set_one_open ON cleaning_run_set (set_id) WHERE clean_seq IS NULL AND abandoned_seq IS NULL;
CREATE INDEX cleaning_run_set_by_set ON cleaning_run_set (set_id);

-- ── Bench ───────────────────────────────────────────────────────────────────────────────

CREATE TABLE fault (
  id           uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  set_id       uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  component_id uuid REFERENCES component ON DELETE RESTRICT,
  line_id      bigint REFERENCES hire_line ON DELETE RESTRICT,
  code         text NOT NULL CHECK (code ~ '^[A-Z]{2}-[0-9]{2}$'),
  severity     text NOT NULL CHECK (severity IN ('out', 'hold', 'watch')),
  found_where  text NOT NULL CHECK (found_where IN ('desk', 'wash-room', 'bench', 'boat')),
  words        text NOT NULL,
  report_seq   int NOT NULL,
  reported_at  timestamptz NOT NULL,
  reported_by  uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  clear_seq    int CHECK (clear_seq > report_seq),
  cleared_at   timestamptz,
  cleared_by   uuid REFERENCES staff ON DELETE RESTRICT,
  outcome      text CHECK (outcome IN ('mended', 'not-found')),
  clear_words  text,
  CHECK ((cleared_at IS NULL) = (clear_seq IS NULL) AND (cleared_at IS NULL) = (cleared_by IS NULL)
     AND (cleared_at IS NULL) = (outcome IS NULL) AND (cleared_at IS NULL) = (clear_words IS NULL))
);
CREATE INDEX fault_open ON fault (set_id) WHERE cleared_at IS NULL;
CREATE INDEX fault_by_set ON fault (set_id, reported_at);

-- Service, inspection and bedding check of one component, with its reading on that day.
CREATE TABLE component_work (
  id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  component_id uuid NOT NULL REFERENCES component ON DELETE RESTRICT,
  set_id       uuid REFERENCES regulator_set ON DELETE RESTRICT,
  seq          int,
  kind         text NOT NULL CHECK (kind IN ('service', 'inspection', 'bedding-check')),
  done_on      date NOT NULL,
  dives_at     int NOT NULL CHECK (dives_at >= 0),
  minutes_at   int NOT NULL CHECK (minutes_at >= 0),
  taught_at    int NOT NULL CHECK (taught_at >= 0),
  oxygen_clean boolean NOT NULL DEFAULT false,
  imported     boolean NOT NULL,
  words        text NOT NULL,
  -- What an imported sheet of past work said, so that the same sheet is known when it comes again.
  facts        jsonb,
  done_by      uuid REFERENCES staff ON DELETE RESTRICT,
  at           timestamptz NOT NULL,
  -- Only history brought in from elsewhere may lack a person of ours.
  CHECK (imported OR done_by IS NOT NULL)
);
CREATE INDEX component_work_by_component ON component_work (component_id, done_on);
-- The same piece of imported history is taken once, however often its sheet comes in.
CREATE UNIQUE INDEX component_work_imported_once ON component_work (component_id, kind, done_on) WHERE imported;

CREATE TABLE release (
  id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  set_id      uuid NOT NULL REFERENCES regulator_set ON DELETE RESTRICT,
  seq         int NOT NULL,
  words       text NOT NULL CHECK (words <> ''),
  released_by uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  released_at timestamptz NOT NULL,
  UNIQUE (set_id, seq)
);

CREATE TABLE notice (
  id           uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  title        text NOT NULL CHECK (title <> ''),
  reference    text NOT NULL CHECK (reference <> ''),
  hazard       text NOT NULL,
  remedy       text NOT NULL,
  published_on date NOT NULL,
  entered_by   uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  entered_at   timestamptz NOT NULL DEFAULT kitroom_clock()
);

CREATE TABLE notice_match (
  notice_id    uuid NOT NULL REFERENCES notice ON DELETE RESTRICT,
  component_id uuid NOT NULL REFERENCES component ON DELETE RESTRICT,
  state        text NOT NULL CHECK (state IN ('open', 'check')),
  matched_at   timestamptz NOT NULL,
  cleared_at   timestamptz,
  cleared_by   uuid REFERENCES staff ON DELETE RESTRICT,
  remedy_done  text,
  PRIMARY KEY (notice_id, component_id),
  CHECK ((cleared_at IS NULL) = (cleared_by IS NULL) AND (cleared_at IS NULL) = (remedy_done IS NULL))
);
CREATE INDEX notice_match_open ON notice_match (component_id) WHERE cleared_at IS NULL;

-- ── The record, safe repeats, the clock, imports ────────────────────────────────────────

-- What each act means for the set it touches. packages/rules holds the same list; a test compares them.
CREATE TABLE act_kind (
  act          text PRIMARY KEY,
  soils        boolean NOT NULL,
  ends_release boolean NOT NULL
);

CREATE TABLE record_entry (
  id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  site_id    uuid REFERENCES site ON DELETE RESTRICT,
  set_id     uuid REFERENCES regulator_set ON DELETE RESTRICT,
  seq        int,
  act        text NOT NULL REFERENCES act_kind ON DELETE RESTRICT,
  at         timestamptz NOT NULL,
  by         uuid REFERENCES staff ON DELETE RESTRICT,
  device_id  uuid REFERENCES device ON DELETE RESTRICT,
  request_id uuid,
  content    jsonb NOT NULL,
  CHECK ((set_id IS NULL) = (seq IS NULL)),
  UNIQUE (set_id, seq)
);
-- The highest instant recorded, for the clock check.
CREATE INDEX record_entry_at ON record_entry (at);

-- First answers by request id: a repeated request is told what happened the first time.
CREATE TABLE command (
  request_id uuid PRIMARY KEY,
  act        text NOT NULL,
  body_hash  bytea NOT NULL,
  answer     jsonb NOT NULL,
  at         timestamptz NOT NULL
);

-- One row. `beat_at` is the newest instant the running server has seen; `leap_seen_at` is set when
-- the wall clock ran away from the server's own steady clock. `confirmed_after` is the last entry
-- made before a named person confirmed the clock: older instants no longer count against it.
CREATE TABLE clock_mark (
  the_one         boolean PRIMARY KEY DEFAULT true CHECK (the_one),
  beat_at         timestamptz,
  leap_seen_at    timestamptz,
  confirmed_after bigint NOT NULL DEFAULT 0
);
INSERT INTO clock_mark DEFAULT VALUES;

CREATE TABLE import_job (
  id          uuid PRIMARY KEY DEFAULT gen_random_uuid(),
  site_id     uuid NOT NULL REFERENCES site ON DELETE RESTRICT,
  started_by  uuid NOT NULL REFERENCES staff ON DELETE RESTRICT,
  file_name   text NOT NULL,
  phase       text NOT NULL CHECK (phase IN ('reading', 'checking', 'recording', 'done', 'refused', 'failed')),
  rows_total  int NOT NULL DEFAULT 0,
  rows_done   int NOT NULL DEFAULT 0,
  words       text,
  started_at  timestamptz NOT NULL DEFAULT kitroom_clock(),
  finished_at timestamptz
);
