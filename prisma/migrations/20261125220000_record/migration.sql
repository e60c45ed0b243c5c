-- The record as evidence: every entry carries the hash of the one before it in its chain, and its own.
--
-- There is a chain for each set and one for each site's own entries. A hash is SHA-256 over the hash before
-- (thirty-two zero bytes for a first entry) and the entry as canonical JSON (RFC 8785), so that anybody can
-- reckon it again without Hangrail. packages/rules does the same; a test holds the two equal.
--
-- A chain alone cannot show that its tail was cut off. Checkpoints can: a signed root over the heads of all
-- chains, of which copies leave the machine.

-- ── Canonical JSON ──────────────────────────────────────────────────────────────────────

-- How many digits a written number has, zeros at its ends and its exponent not counted.
CREATE FUNCTION significant_digits(p text) RETURNS int LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE AS $$
  SELECT length(trim(BOTH '0' FROM translate(split_part(p, 'e', 1), '-.', '')))
$$;

-- A number as ECMAScript writes a double (RFC 8785, 3.2.2.3). What no double holds exactly is refused: it would be another number when read again.
CREATE FUNCTION canonical_number(p numeric) RETURNS text LANGUAGE plpgsql IMMUTABLE STRICT PARALLEL SAFE SET extra_float_digits = 1 AS $$
DECLARE
  v_text text := p::float8::text;
  v_parts text[];
  v_sign text;
  v_digits text;
  -- Where the decimal point stands in these digits.
  v_point int;
BEGIN
  IF p = 0 THEN RETURN '0'; END IF;
  -- Half way between two doubles ECMAScript takes the shorter text (1e+23), PostgreSQL the longer (9.999999999999999e+22). A text with
  -- fewer digits than PostgreSQL's that is read as the same double can only stand there.
  IF v_text::numeric <> p AND significant_digits(trim_scale(p)::text) < significant_digits(v_text) THEN v_text := trim_scale(p)::text; END IF;
  IF v_text::numeric <> p THEN
    RAISE EXCEPTION 'The number % cannot be written down so that it is read back the same', p USING ERRCODE = 'HR400';
  END IF;
  v_parts := regexp_match(v_text, '^(-?)(\d+)(?:\.(\d+))?(?:e([+-]\d+))?$');
  v_sign := v_parts[1];
  v_digits := v_parts[2] || coalesce(v_parts[3], '');
  v_point := length(v_parts[2]) + coalesce(v_parts[4]::int, 0);
  v_point := v_point - (length(v_digits) - length(ltrim(v_digits, '0')));
  v_digits := trim(BOTH '0' FROM v_digits);
  IF v_point BETWEEN length(v_digits) AND 21 THEN RETURN v_sign || v_digits || repeat('0', v_point - length(v_digits)); END IF;
  IF v_point BETWEEN 1 AND 21 THEN RETURN v_sign || left(v_digits, v_point) || '.' || substr(v_digits, v_point + 1); END IF;
  IF v_point BETWEEN -5 AND 0 THEN RETURN v_sign || '0.' || repeat('0', -v_point) || v_digits; END IF;
  RETURN v_sign || left(v_digits, 1) || CASE WHEN length(v_digits) > 1 THEN '.' || substr(v_digits, 2) ELSE '' END
    || 'e' || CASE WHEN v_point > 0 THEN '+' ELSE '-' END || abs(v_point - 1);
END $$;

-- Sorts as the UTF-16 code units of a name do, compared byte by byte: units from the surrogates on are moved above everything else, in their own order.
CREATE FUNCTION utf16_order(p text) RETURNS text LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE AS $$
  SELECT string_agg(CASE WHEN ascii(c) < 55296 THEN c WHEN ascii(c) < 65536 THEN chr(65536 + ascii(c))
                         ELSE chr(65536 + 55232 + (ascii(c) >> 10)) || chr(65536 + 56320 + (ascii(c) & 1023)) END, '' ORDER BY n)
    FROM string_to_table(p, NULL) WITH ORDINALITY AS letters (c, n)
$$;

CREATE FUNCTION canonical_json(p jsonb) RETURNS text LANGUAGE plpgsql IMMUTABLE STRICT PARALLEL SAFE AS $$
BEGIN
  CASE jsonb_typeof(p)
    WHEN 'object' THEN
      RETURN (SELECT '{' || coalesce(string_agg(to_json(m.key)::text || ':' ||
                CASE jsonb_typeof(m.value)
                  WHEN 'string' THEN m.value::text WHEN 'boolean' THEN m.value::text WHEN 'null' THEN 'null'
                  -- Whole numbers of up to fifteen signs are written the same way by everybody.
                  WHEN 'number' THEN CASE WHEN length(m.value::text) <= 15 AND strpos(m.value::text, '.') = 0 THEN m.value::text ELSE canonical_number(m.value::numeric) END
                  ELSE canonical_json(m.value) END, ','
                -- Names of plain letters sort by their bytes.
                ORDER BY CASE WHEN octet_length(m.key) = length(m.key) THEN m.key ELSE utf16_order(m.key) END COLLATE "C"), '') || '}'
                FROM jsonb_each(p) m);
    WHEN 'array' THEN
      RETURN (SELECT '[' || coalesce(string_agg(canonical_json(e.value), ',' ORDER BY e.n), '') || ']' FROM jsonb_array_elements(p) WITH ORDINALITY AS e (value, n));
    WHEN 'number' THEN
      RETURN CASE WHEN length(p::text) <= 15 AND strpos(p::text, '.') = 0 THEN p::text ELSE canonical_number(p::numeric) END;
    ELSE
      RETURN p::text;
  END CASE;
END $$;

-- ── The chain ───────────────────────────────────────────────────────────────────────────

ALTER TABLE record_entry
  -- The place in its site's own chain, of an entry that is about no set.
  ADD COLUMN site_seq     int CHECK (site_seq >= 1),
  -- How the hash below was reckoned, so that another way can come and this one still be checked.
  ADD COLUMN hash_version int NOT NULL DEFAULT 1,
  ADD COLUMN prev_hash    bytea CHECK (octet_length(prev_hash) = 32),
  ADD COLUMN hash         bytea CHECK (octet_length(hash) = 32);

-- The entry as it is hashed. Instants are written in UTC with all six digits of the second.
CREATE FUNCTION entry_text(e record_entry) RETURNS text LANGUAGE plpgsql STABLE AS $$
BEGIN
  RETURN '{"act":' || to_json(e.act)::text
    || ',"at":"' || to_char(e.at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"')
    || '","by":' || coalesce('"' || e."by" || '"', 'null')
    || ',"chain":"' || coalesce(e.set_id, e.site_id)
    || '","content":' || canonical_json(e.content)
    || ',"device":' || coalesce('"' || e.device_id || '"', 'null')
    || ',"request":' || coalesce('"' || e.request_id || '"', 'null')
    || ',"seq":' || coalesce(e.seq, e.site_seq)
    || ',"site":' || coalesce('"' || e.site_id || '"', 'null')
    || ',"version":' || e.hash_version || '}';
END $$;

CREATE FUNCTION entry_hash(e record_entry) RETURNS bytea LANGUAGE sql STABLE AS $$
  SELECT sha256(e.prev_hash || convert_to(entry_text(e), 'UTF8'))
$$;

-- Links an entry to the one before. A set's row is locked by its act, so its chain has one order. A site's own
-- entries are few; they take turns on a lock of their own, which no hand-out, return or wash ever asks for. It is the
-- last lock of an act, so nobody who holds it waits for a set.
CREATE FUNCTION link_entry() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.set_id IS NOT NULL THEN
    SELECT hash INTO NEW.prev_hash FROM record_entry WHERE set_id = NEW.set_id AND seq = NEW.seq - 1;
  ELSE
    PERFORM pg_advisory_xact_lock(hashtextextended(NEW.site_id::text, 5));
    SELECT site_seq, hash INTO NEW.site_seq, NEW.prev_hash FROM record_entry WHERE site_id = NEW.site_id AND set_id IS NULL ORDER BY site_seq DESC LIMIT 1;
    NEW.site_seq := coalesce(NEW.site_seq, 0) + 1;
  END IF;
  NEW.hash_version := 1;
  NEW.prev_hash := coalesce(NEW.prev_hash, decode(repeat('00', 32), 'hex'));
  NEW.hash := entry_hash(NEW);
  RETURN NEW;
END $$;

-- What was recorded before there were chains is linked as it stands, in the order it was recorded in.
ALTER TABLE record_entry DISABLE TRIGGER record_entry_no_update;
DO $$
DECLARE
  v_zero bytea := decode(repeat('00', 32), 'hex');
  v_before record_entry;
  e record_entry;
BEGIN
  FOR e IN SELECT * FROM record_entry ORDER BY set_id NULLS LAST, seq, site_id, id LOOP
    IF (e.set_id, coalesce(e.set_id, e.site_id)) IS NOT DISTINCT FROM (v_before.set_id, coalesce(v_before.set_id, v_before.site_id)) THEN
      e.prev_hash := v_before.hash;
    ELSE
      e.prev_hash := v_zero;
      v_before.site_seq := 0;
    END IF;
    IF e.set_id IS NULL THEN e.site_seq := v_before.site_seq + 1; END IF;
    e.hash := entry_hash(e);
    UPDATE record_entry SET site_seq = e.site_seq, prev_hash = e.prev_hash, hash = e.hash WHERE id = e.id;
    v_before := e;
  END LOOP;
END $$;
ALTER TABLE record_entry ENABLE TRIGGER record_entry_no_update;

ALTER TABLE record_entry
  ALTER COLUMN prev_hash SET NOT NULL,
  ALTER COLUMN hash SET NOT NULL,
  ADD CONSTRAINT record_entry_one_chain CHECK ((set_id IS NULL) = (site_seq IS NOT NULL) AND (set_id IS NOT NULL OR site_id IS NOT NULL));
-- The newest of a site's own chain, and one entry for each place in it.
CREATE UNIQUE INDEX record_entry_site_chain ON record_entry (site_id, site_seq) WHERE set_id IS NULL;
CREATE TRIGGER record_entry_chain BEFORE INSERT ON record_entry FOR EACH ROW EXECUTE FUNCTION link_entry();

-- ── Checkpoints ─────────────────────────────────────────────────────────────────────────

-- A root over the heads of all chains at one moment, signed with a key that is not in the database. Each names the
-- one before it. `entries` is how many entries the chains had then.
CREATE TABLE checkpoint (
  number     int PRIMARY KEY CHECK (number >= 1),
  at         timestamptz NOT NULL,
  chains     int NOT NULL CHECK (chains >= 0),
  entries    bigint NOT NULL CHECK (entries >= chains),
  root       bytea NOT NULL CHECK (octet_length(root) = 32),
  -- SHA-256 of what the checkpoint before says; null for the first.
  previous   bytea CHECK (octet_length(previous) = 32),
  public_key bytea NOT NULL CHECK (octet_length(public_key) = 32),
  signature  bytea NOT NULL CHECK (octet_length(signature) = 64),
  -- Null: made by the running server.
  made_by    uuid REFERENCES staff ON DELETE RESTRICT,
  CHECK ((number = 1) = (previous IS NULL))
);

-- The heads that moved since the checkpoint before. The heads at a checkpoint are the newest of each chain up to it.
CREATE TABLE checkpoint_head (
  number int NOT NULL REFERENCES checkpoint ON DELETE RESTRICT,
  -- A set, or a site for its own entries.
  chain  uuid NOT NULL,
  seq    int NOT NULL CHECK (seq >= 1),
  hash   bytea NOT NULL CHECK (octet_length(hash) = 32),
  PRIMARY KEY (chain, number)
);
CREATE INDEX checkpoint_head_by_number ON checkpoint_head (number);

-- The head of every chain as it stands.
CREATE VIEW chain_head AS
SELECT s.id AS chain, e.seq, e.hash FROM regulator_set s
 CROSS JOIN LATERAL (SELECT seq, hash FROM record_entry WHERE set_id = s.id ORDER BY seq DESC LIMIT 1) e
UNION ALL
SELECT t.id, e.site_seq, e.hash FROM site t
 CROSS JOIN LATERAL (SELECT site_seq, hash FROM record_entry WHERE site_id = t.id AND set_id IS NULL ORDER BY site_seq DESC LIMIT 1) e;

-- p_checkpoint = {number, at, chains, entries, root, previous, publicKey, signature}, bytes as hex; p_heads = [{chain, seq, hash}], the heads that moved.
-- p_who is null when the server makes it by itself.
CREATE FUNCTION keep_checkpoint(p_who jsonb, p_checkpoint jsonb, p_heads jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_number int := (p_checkpoint->>'number')::int;
  v_newest int;
BEGIN
  IF p_who IS NOT NULL THEN PERFORM actor(p_who, 'manager'); END IF;
  PERFORM pg_advisory_xact_lock(hashtextextended('checkpoint', 5));
  SELECT coalesce(max(number), 0) INTO v_newest FROM checkpoint;
  -- Somebody else made one meanwhile.
  IF v_number <> v_newest + 1 THEN RETURN refused('checkpoint-made', jsonb_build_object('number', v_newest)); END IF;
  INSERT INTO checkpoint (number, at, chains, entries, root, previous, public_key, signature, made_by)
  VALUES (v_number, (p_checkpoint->>'at')::timestamptz, (p_checkpoint->>'chains')::int, (p_checkpoint->>'entries')::bigint, decode(p_checkpoint->>'root', 'hex'),
          decode(p_checkpoint->>'previous', 'hex'), decode(p_checkpoint->>'publicKey', 'hex'), decode(p_checkpoint->>'signature', 'hex'), (p_who->>'staff')::uuid);
  INSERT INTO checkpoint_head (number, chain, seq, hash)
  SELECT v_number, h.chain, h.seq, decode(h.hash, 'hex') FROM jsonb_to_recordset(p_heads) AS h (chain uuid, seq int, hash text);
  IF EXISTS (SELECT FROM checkpoint_head h WHERE h.number = v_number
      AND NOT EXISTS (SELECT FROM record_entry e WHERE e.set_id = h.chain AND e.seq = h.seq AND e.hash = h.hash)
      AND NOT EXISTS (SELECT FROM record_entry e WHERE e.site_id = h.chain AND e.set_id IS NULL AND e.site_seq = h.seq AND e.hash = h.hash)) THEN
    RAISE EXCEPTION 'A head of this checkpoint is no entry of the record' USING ERRCODE = 'HR400';
  END IF;
  RETURN jsonb_build_object('answer', 'done', 'number', v_number);
END $$;

-- ── Hirers ──────────────────────────────────────────────────────────────────────────────

-- The chain holds a salted commitment to who hired, the name itself stands here alone. With the salt gone, the commitment
-- says nothing: without it, a name could be guessed and tried. The text committed to is canonical JSON as it is.
ALTER TABLE hirer ADD COLUMN salt bytea CHECK (octet_length(salt) = 16);

CREATE FUNCTION hirer_commitment(p_salt bytea, p_name text, p_contact text) RETURNS text LANGUAGE sql IMMUTABLE AS $$
  SELECT encode(sha256(p_salt || convert_to('{"contact":' || coalesce(to_json(p_contact)::text, 'null') || ',"name":' || coalesce(to_json(p_name)::text, 'null') || '}', 'UTF8')), 'hex')
$$;

-- Requests of hand-outs from before there were salts are hashed with the name in them. Once nobody can be waiting for their answer any more, the hash goes.
ALTER TABLE command DISABLE TRIGGER command_no_update;
UPDATE command SET body_hash = sha256(uuid_send(gen_random_uuid())) WHERE act = 'hand-out' AND at < now() - interval '31 days';
ALTER TABLE command ENABLE TRIGGER command_no_update;

CREATE FUNCTION hirer_only_erased() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF (NEW.id, NEW.created_at) IS DISTINCT FROM (OLD.id, OLD.created_at) OR OLD.erased_at IS NOT NULL OR NEW.erased_at IS NULL OR num_nonnulls(NEW.name, NEW.contact, NEW.salt) > 0 THEN
    RAISE EXCEPTION 'UPDATE on hirer is refused: a hirer''s name is erased or stays as it is' USING ERRCODE = 'HR409';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER hirer_erase BEFORE UPDATE ON hirer FOR EACH ROW EXECUTE FUNCTION hirer_only_erased();

INSERT INTO act_kind (act, soils, ends_release, asks_test) VALUES ('hirers-erased', false, false, false);

-- Erases the names of hirers whose sets have all been back for as long as their site keeps names, at most so many of a site.
-- A hire of a set that is sealed now keeps its name. Answers how many were erased.
CREATE FUNCTION erase_hirers(p_at_most int) RETURNS int LANGUAGE plpgsql AS $$
DECLARE
  v_at timestamptz := kitroom_clock();
  v_site record;
  v_ids uuid[];
  v_erased int := 0;
BEGIN
  -- A clock that ran ahead must not take names before their time.
  IF clock_doubt(v_at) IS NOT NULL THEN RETURN 0; END IF;
  FOR v_site IN SELECT id, v_at - make_interval(months => retention_months) AS until FROM site ORDER BY id LOOP
    WITH due AS (
      SELECT r.id FROM hire h JOIN hirer r ON r.id = h.hirer_id
       WHERE h.site_id = v_site.id AND h.out_at < v_site.until AND r.erased_at IS NULL
         AND NOT EXISTS (SELECT FROM hire o JOIN hire_line l ON l.hire_id = o.id JOIN regulator_set s ON s.id = l.set_id
                          WHERE o.hirer_id = r.id AND (l.back_at IS NULL OR l.back_at >= v_site.until OR s.evidence_seq IS NOT NULL))
       ORDER BY r.id LIMIT p_at_most FOR UPDATE OF r SKIP LOCKED),
    gone AS (UPDATE hirer SET name = NULL, contact = NULL, salt = NULL, erased_at = v_at FROM due WHERE hirer.id = due.id RETURNING hirer.id)
    SELECT array_agg(id ORDER BY id) INTO v_ids FROM gone;
    IF v_ids IS NOT NULL THEN
      PERFORM append_site_entry(v_site.id, 'hirers-erased', '{}', v_at, jsonb_build_object('hirers', to_jsonb(v_ids)));
      v_erased := v_erased + cardinality(v_ids);
    END IF;
  END LOOP;
  RETURN v_erased;
END $$;

-- p_hire = {hirer, contact, backOn, dives, minutes, teaching, cylinderConnection, cylinderBar, o2Tenths,
--           waterTenthsC, depthM}; p_sets = [{id, seq}] as the caller's decision saw them.
CREATE OR REPLACE FUNCTION hand_out(p_who jsonb, p_hire jsonb, p_sets jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_salt bytea;
  v_commitment text;
  v_body jsonb;
  v_answer jsonb;
  v_ids uuid[];
  v_at timestamptz;
  v_today date;
  v_doubt jsonb;
  v_holds jsonb;
  v_hirer uuid;
  v_hire uuid;
  v_lines int;
BEGIN
  -- The body of a request is kept as a hash, and a name in it could be guessed and tried: the commitment stands for it. Its salt is
  -- that of the first time this request came, if it came; its twin waits here until that is known.
  PERFORM pg_advisory_xact_lock(hashtextextended(p_who->>'request', 1));
  v_salt := coalesce((SELECT n.salt FROM hire h JOIN hirer n ON n.id = h.hirer_id WHERE h.request_id = (p_who->>'request')::uuid), uuid_send(gen_random_uuid()));
  v_commitment := hirer_commitment(v_salt, p_hire->>'hirer', p_hire->>'contact');
  v_body := jsonb_build_object('hire', (p_hire - 'hirer' - 'contact') || jsonb_build_object('hirerCommitment', v_commitment),
    'sets', (SELECT jsonb_agg(x->'id' ORDER BY x->>'id') FROM jsonb_array_elements(p_sets) x));
  v_answer := first_answer(p_who, 'hand-out', v_body);
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

  INSERT INTO hirer (name, contact, salt) VALUES (p_hire->>'hirer', p_hire->>'contact', v_salt) RETURNING id INTO v_hirer;
  INSERT INTO hire (site_id, hirer_id, back_on, dives, minutes, teaching, cylinder_connection, cylinder_bar, o2_tenths,
                    water_tenths_c, depth_m, out_at, out_by, device_id, request_id)
  VALUES ((p_who->>'site')::uuid, v_hirer, (p_hire->>'backOn')::date, (p_hire->>'dives')::int, (p_hire->>'minutes')::int,
          (p_hire->>'teaching')::boolean, p_hire->>'cylinderConnection', (p_hire->>'cylinderBar')::int, (p_hire->>'o2Tenths')::int,
          (p_hire->>'waterTenthsC')::int, (p_hire->>'depthM')::int, v_at, (p_who->>'staff')::uuid, (p_who->>'device')::uuid, (p_who->>'request')::uuid)
  RETURNING id INTO v_hire;
  INSERT INTO hire_line (hire_id, set_id, out_seq, out_at, back_on)
  SELECT v_hire, s.id, append_entry(s.id, 'handed-out', p_who, v_at, (p_hire - 'hirer' - 'contact') || jsonb_build_object('hire', v_hire, 'hirerCommitment', v_commitment)),
         v_at, (p_hire->>'backOn')::date
    FROM (SELECT id FROM regulator_set WHERE id = ANY (v_ids) ORDER BY id) s;
  GET DIAGNOSTICS v_lines = ROW_COUNT;
  IF v_lines <> cardinality(v_ids) THEN RAISE EXCEPTION 'hand_out wrote % of % sets', v_lines, cardinality(v_ids); END IF;
  RETURN keep_answer(p_who, 'hand-out', v_body, jsonb_build_object('answer', 'done', 'hire', v_hire, 'at', v_at));
END $$;

-- What is noted of a booking may say whom it is for, and stays in its row alone.
-- p_bookings = [{fromOn, untilOn, connection, cold, o2Tenths, teaching, sets, words, source}], all or none.
CREATE OR REPLACE FUNCTION make_bookings(p_who jsonb, p_bookings jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_answer jsonb := first_answer(p_who, 'make-bookings', p_bookings);
  v_at timestamptz := kitroom_clock();
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'desk', 'manager');
  INSERT INTO booking (site_id, from_on, until_on, connection, cold, o2_tenths, teaching, sets, words, source, made_by, made_at)
  SELECT (p_who->>'site')::uuid, (b->>'fromOn')::date, (b->>'untilOn')::date, b->>'connection', (b->>'cold')::boolean, (b->>'o2Tenths')::int,
         (b->>'teaching')::boolean, (b->>'sets')::int, b->>'words', b->>'source', (p_who->>'staff')::uuid, v_at FROM jsonb_array_elements(p_bookings) b;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'booking-made', p_who, v_at,
    jsonb_build_object('bookings', (SELECT coalesce(jsonb_agg(b - 'words' ORDER BY n), '[]') FROM jsonb_array_elements(p_bookings) WITH ORDINALITY AS x (b, n))));
  RETURN keep_answer(p_who, 'make-bookings', p_bookings, jsonb_build_object('answer', 'done', 'bookings', jsonb_array_length(p_bookings)));
END $$;

-- ── Corrections ─────────────────────────────────────────────────────────────────────────

-- Says of an earlier entry of a set what was wrong with it, and why. The entry itself stays as it was written, and no fact moves: what has to be
-- done again is done and recorded as such.
CREATE FUNCTION correct_entry(p_who jsonb, p_set uuid, p_entry int, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_body jsonb := jsonb_build_object('set', p_set, 'entry', p_entry, 'words', p_words);
  v_answer jsonb := first_answer(p_who, 'correct-entry', v_body);
  v_at timestamptz;
BEGIN
  IF v_answer IS NOT NULL THEN RETURN v_answer; END IF;
  PERFORM actor(p_who, 'technician', 'manager');
  v_at := lock_sets(ARRAY[p_set]);
  IF NOT EXISTS (SELECT FROM regulator_set WHERE id = p_set AND site_id = (p_who->>'site')::uuid) THEN RETURN refused('no-such-set'); END IF;
  IF NOT EXISTS (SELECT FROM record_entry WHERE set_id = p_set AND seq = p_entry) THEN RETURN refused('no-such-entry'); END IF;
  PERFORM append_entry(p_set, 'corrected', p_who, v_at, v_body);
  RETURN keep_answer(p_who, 'correct-entry', v_body, '{"answer": "done"}');
END $$;

-- ── History stands here too ─────────────────────────────────────────────────────────────

DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['checkpoint', 'checkpoint_head'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE DELETE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_delete', t);
    EXECUTE format('CREATE TRIGGER %I BEFORE TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION history_stands()', t || '_no_truncate', t);
    EXECUTE format('CREATE TRIGGER %I BEFORE UPDATE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_update', t);
  END LOOP;
END $$;

DO $$
DECLARE f record;
BEGIN
  GRANT SELECT ON checkpoint, checkpoint_head, chain_head TO hangrail_app;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'significant_digits', 'canonical_number', 'utf16_order', 'canonical_json', 'entry_text', 'entry_hash', 'link_entry', 'keep_checkpoint', 'hirer_commitment', 'hirer_only_erased',
      'erase_hirers', 'correct_entry']) LOOP
    EXECUTE format('REVOKE ALL ON FUNCTION %s FROM PUBLIC', f.name);
  END LOOP;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'hand_out', 'make_bookings', 'keep_checkpoint', 'erase_hirers', 'correct_entry']) LOOP
    EXECUTE format('ALTER FUNCTION %s SECURITY DEFINER SET search_path = public, pg_temp', f.name);
    EXECUTE format('ALTER FUNCTION %s SET plan_cache_mode = force_generic_plan', f.name);
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
  -- Whoever reads the record may reckon its hashes again.
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'significant_digits', 'canonical_number', 'utf16_order', 'canonical_json', 'entry_text', 'hirer_commitment']) LOOP
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
END $$;
