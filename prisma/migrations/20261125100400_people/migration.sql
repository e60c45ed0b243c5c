-- People, roles, devices, sessions, attempts, policy, and the clock.

-- The first site and its first manager, on an empty database only. The first manager starts with every role.
CREATE FUNCTION first_run(p_site jsonb, p_manager jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_site uuid;
  v_staff uuid;
BEGIN
  LOCK TABLE staff IN EXCLUSIVE MODE;
  IF EXISTS (SELECT FROM staff) THEN RETURN refused('already-set-up'); END IF;
  INSERT INTO site (name, time_zone, units) VALUES (p_site->>'name', p_site->>'timeZone', p_site->>'units') RETURNING id INTO v_site;
  INSERT INTO staff (name, login, password_hash, pin_hash)
  VALUES (p_manager->>'name', p_manager->>'login', p_manager->>'passwordHash', p_manager->>'pinHash') RETURNING id INTO v_staff;
  INSERT INTO staff_role (staff_id, site_id, role) SELECT v_staff, v_site, r FROM unnest(ARRAY['desk', 'wash-room', 'technician', 'manager']) r;
  PERFORM append_site_entry(v_site, 'site-opened', jsonb_build_object('staff', v_staff), kitroom_clock(), p_site);
  RETURN jsonb_build_object('answer', 'done', 'site', v_site, 'staff', v_staff);
END $$;

CREATE FUNCTION open_site(p_who jsonb, p_site jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_site uuid;
BEGIN
  PERFORM actor(p_who, 'manager');
  INSERT INTO site (name, time_zone, units) VALUES (p_site->>'name', p_site->>'timeZone', p_site->>'units') ON CONFLICT (name) DO NOTHING RETURNING id INTO v_site;
  IF v_site IS NULL THEN RETURN refused('name-taken'); END IF;
  INSERT INTO staff_role (staff_id, site_id, role) VALUES ((p_who->>'staff')::uuid, v_site, 'manager');
  PERFORM append_site_entry(v_site, 'site-opened', p_who, kitroom_clock(), p_site);
  RETURN jsonb_build_object('answer', 'done', 'site', v_site);
END $$;

CREATE FUNCTION add_person(p_who jsonb, p_person jsonb, p_roles text[]) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_staff uuid;
BEGIN
  PERFORM actor(p_who, 'manager');
  INSERT INTO staff (name, login, password_hash, pin_hash)
  VALUES (p_person->>'name', p_person->>'login', p_person->>'passwordHash', p_person->>'pinHash') ON CONFLICT (login) DO NOTHING RETURNING id INTO v_staff;
  IF v_staff IS NULL THEN RETURN refused('login-taken'); END IF;
  INSERT INTO staff_role (staff_id, site_id, role) SELECT v_staff, (p_who->>'site')::uuid, r FROM unnest(p_roles) r;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'person-added', p_who, kitroom_clock(), jsonb_build_object('staff', v_staff, 'roles', to_jsonb(p_roles)));
  RETURN jsonb_build_object('answer', 'done', 'staff', v_staff);
END $$;

-- Waits until no act of these people is under way, and keeps them from beginning one. In a fixed order,
-- so that two managers who change each other do not wait in a ring.
CREATE FUNCTION hold_people(VARIADIC p_staff uuid[]) RETURNS void LANGUAGE sql AS $$
  SELECT pg_advisory_xact_lock(key) FROM (SELECT DISTINCT person_key(u) AS key FROM unnest(p_staff) u WHERE u IS NOT NULL ORDER BY 1) k
$$;

-- A manager gives roles to people of the sites they manage, and to no others: a role here is what lets a manager
-- here reset a person's password. A site always keeps one manager, so that nobody can lock everybody out.
CREATE FUNCTION set_roles(p_who jsonb, p_staff uuid, p_roles text[]) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM hold_people(p_staff, (p_who->>'staff')::uuid);
  PERFORM FROM site WHERE id = (p_who->>'site')::uuid FOR NO KEY UPDATE;
  PERFORM actor(p_who, 'manager');
  IF NOT EXISTS (SELECT FROM staff p JOIN staff_role theirs ON theirs.staff_id = p.id
      JOIN staff_role mine ON mine.site_id = theirs.site_id AND mine.staff_id = (p_who->>'staff')::uuid AND mine.role = 'manager' AND mine.until_at IS NULL
     WHERE p.id = p_staff AND p.closed_at IS NULL) THEN RETURN refused('no-such-person'); END IF;
  IF NOT 'manager' = ANY (p_roles) AND NOT EXISTS (SELECT FROM staff_role r JOIN staff p ON p.id = r.staff_id
      WHERE r.site_id = (p_who->>'site')::uuid AND r.role = 'manager' AND r.until_at IS NULL AND p.closed_at IS NULL AND r.staff_id <> p_staff) THEN
    RETURN refused('last-manager');
  END IF;
  UPDATE staff_role SET until_at = kitroom_clock() WHERE staff_id = p_staff AND site_id = (p_who->>'site')::uuid AND until_at IS NULL AND NOT role = ANY (p_roles);
  INSERT INTO staff_role (staff_id, site_id, role) SELECT p_staff, (p_who->>'site')::uuid, r FROM unnest(p_roles) r ON CONFLICT DO NOTHING;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'roles-changed', p_who, kitroom_clock(), jsonb_build_object('staff', p_staff, 'roles', to_jsonb(p_roles)));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- Whether a person also works at a site that this manager does not manage. Their account is then not one manager's alone
-- to reset or close: who may set a password at one site could otherwise walk into another.
CREATE FUNCTION works_beyond(p_who jsonb, p_staff uuid) RETURNS boolean LANGUAGE sql STABLE AS $$
  SELECT EXISTS (SELECT FROM staff_role r WHERE r.staff_id = p_staff AND r.until_at IS NULL AND NOT EXISTS (
    SELECT FROM staff_role m WHERE m.staff_id = (p_who->>'staff')::uuid AND m.site_id = r.site_id AND m.role = 'manager' AND m.until_at IS NULL))
$$;

-- A manager resets a person of their site; everybody changes their own. All sessions of that person end,
-- except the one that made the change.
CREATE FUNCTION set_secret(p_who jsonb, p_staff uuid, p_password_hash text, p_pin_hash text, p_keep_session uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  IF p_staff IS DISTINCT FROM (p_who->>'staff')::uuid THEN
    PERFORM actor(p_who, 'manager');
    IF NOT EXISTS (SELECT FROM staff_role WHERE staff_id = p_staff AND site_id = (p_who->>'site')::uuid AND until_at IS NULL) THEN RETURN refused('no-such-person'); END IF;
    IF works_beyond(p_who, p_staff) THEN RETURN refused('works-elsewhere'); END IF;
  END IF;
  UPDATE staff SET password_hash = coalesce(p_password_hash, password_hash), pin_hash = coalesce(p_pin_hash, pin_hash) WHERE id = p_staff AND closed_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-person'); END IF;
  UPDATE session SET ended_at = kitroom_clock() WHERE staff_id = p_staff AND ended_at IS NULL AND id IS DISTINCT FROM p_keep_session;
  DELETE FROM attempt_limit WHERE key LIKE 'pin:' || p_staff || ':%' OR key = 'password:' || (SELECT login FROM staff WHERE id = p_staff);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'secret-changed', p_who, kitroom_clock(),
    jsonb_build_object('staff', p_staff, 'password', p_password_hash IS NOT NULL, 'pin', p_pin_hash IS NOT NULL));
  RETURN jsonb_build_object('answer', 'done');
END $$;

CREATE FUNCTION close_person(p_who jsonb, p_staff uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM hold_people(p_staff, (p_who->>'staff')::uuid);
  PERFORM FROM site WHERE id IN (SELECT site_id FROM staff_role WHERE staff_id = p_staff AND until_at IS NULL) ORDER BY id FOR NO KEY UPDATE;
  PERFORM actor(p_who, 'manager');
  IF p_staff = (p_who->>'staff')::uuid THEN RETURN refused('not-yourself'); END IF;
  IF NOT EXISTS (SELECT FROM staff_role WHERE staff_id = p_staff AND site_id = (p_who->>'site')::uuid AND until_at IS NULL) THEN RETURN refused('no-such-person'); END IF;
  IF EXISTS (SELECT FROM staff_role mine WHERE mine.staff_id = p_staff AND mine.role = 'manager' AND mine.until_at IS NULL AND NOT EXISTS (
      SELECT FROM staff_role r JOIN staff p ON p.id = r.staff_id WHERE r.site_id = mine.site_id AND r.role = 'manager' AND r.until_at IS NULL
         AND p.closed_at IS NULL AND r.staff_id <> p_staff)) THEN
    RETURN refused('last-manager');
  END IF;
  IF works_beyond(p_who, p_staff) THEN RETURN refused('works-elsewhere'); END IF;
  UPDATE staff SET closed_at = kitroom_clock() WHERE id = p_staff AND closed_at IS NULL;
  UPDATE staff_role SET until_at = kitroom_clock() WHERE staff_id = p_staff AND until_at IS NULL;
  UPDATE session SET ended_at = kitroom_clock() WHERE staff_id = p_staff AND ended_at IS NULL;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'person-closed', p_who, kitroom_clock(), jsonb_build_object('staff', p_staff));
  RETURN jsonb_build_object('answer', 'done');
END $$;

CREATE FUNCTION authorise(p_who jsonb, p_staff uuid, p_maker text, p_oxygen boolean, p_from date, p_until date, p_evidence text) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager');
  IF NOT EXISTS (SELECT FROM staff_role WHERE staff_id = p_staff AND site_id = (p_who->>'site')::uuid AND role = 'technician' AND until_at IS NULL) THEN
    RETURN refused('not-a-technician');
  END IF;
  INSERT INTO authorisation (staff_id, maker, oxygen_clean, from_on, until_on, evidence, given_by)
  VALUES (p_staff, p_maker, p_oxygen, p_from, p_until, p_evidence, (p_who->>'staff')::uuid);
  PERFORM append_site_entry((p_who->>'site')::uuid, 'authorised', p_who, kitroom_clock(),
    jsonb_build_object('staff', p_staff, 'maker', p_maker, 'oxygenClean', p_oxygen, 'from', p_from, 'until', p_until));
  RETURN jsonb_build_object('answer', 'done');
END $$;

CREATE FUNCTION enrol_device(p_who jsonb, p_name text, p_token_hash bytea) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v_id uuid;
BEGIN
  PERFORM actor(p_who, 'manager');
  INSERT INTO device (site_id, name, token_hash, enrolled_by) VALUES ((p_who->>'site')::uuid, p_name, p_token_hash, (p_who->>'staff')::uuid) RETURNING id INTO v_id;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'device-enrolled', p_who, kitroom_clock(), jsonb_build_object('device', v_id, 'name', p_name));
  RETURN jsonb_build_object('answer', 'done', 'device', v_id);
END $$;

CREATE FUNCTION revoke_device(p_who jsonb, p_device uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  PERFORM actor(p_who, 'manager');
  UPDATE device SET revoked_at = kitroom_clock() WHERE id = p_device AND site_id = (p_who->>'site')::uuid AND revoked_at IS NULL;
  IF NOT FOUND THEN RETURN refused('no-such-device'); END IF;
  UPDATE session SET ended_at = kitroom_clock() WHERE device_id = p_device AND ended_at IS NULL;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'device-revoked', p_who, kitroom_clock(), jsonb_build_object('device', p_device));
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- A new session; the one it replaces on the same browser ends in the same act.
CREATE FUNCTION open_session(p_token_hash bytea, p_staff uuid, p_site uuid, p_device uuid, p_with text, p_hours int, p_replaces uuid) RETURNS jsonb LANGUAGE plpgsql AS $$
BEGIN
  IF NOT EXISTS (SELECT FROM staff_role r JOIN staff p ON p.id = r.staff_id WHERE r.staff_id = p_staff AND r.site_id = p_site AND r.until_at IS NULL AND p.closed_at IS NULL) THEN
    RETURN refused('no-such-person');
  END IF;
  IF p_device IS NOT NULL AND NOT EXISTS (SELECT FROM device WHERE id = p_device AND site_id = p_site AND revoked_at IS NULL) THEN RETURN refused('no-such-device'); END IF;
  UPDATE session SET ended_at = kitroom_clock() WHERE id = p_replaces AND ended_at IS NULL;
  INSERT INTO session (token_hash, staff_id, site_id, device_id, opened_with, expires_at)
  VALUES (p_token_hash, p_staff, p_site, p_device, p_with, kitroom_clock() + make_interval(hours => p_hours));
  RETURN jsonb_build_object('answer', 'done');
END $$;

CREATE FUNCTION touch_session(p_session uuid) RETURNS void LANGUAGE sql AS $$
  UPDATE session SET last_seen_at = kitroom_clock() WHERE id = p_session AND ended_at IS NULL
$$;

CREATE FUNCTION end_session(p_session uuid) RETURNS void LANGUAGE sql AS $$
  UPDATE session SET ended_at = kitroom_clock() WHERE id = p_session AND ended_at IS NULL
$$;

-- Takes one attempt BEFORE the secret is looked at, so that a thousand guesses at once are still counted one by one.
-- From the fourth failure each next attempt waits longer; after the tenth only a password (for a PIN) or a manager helps.
CREATE FUNCTION take_attempt(p_key text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE v attempt_limit;
BEGIN
  INSERT INTO attempt_limit (key, failures, last_at) VALUES (p_key, 0, kitroom_clock()) ON CONFLICT (key) DO NOTHING;
  SELECT * INTO v FROM attempt_limit WHERE key = p_key FOR UPDATE;
  IF v.failures >= 10 AND (p_key LIKE 'pin:%' OR kitroom_clock() < v.last_at + interval '15 minutes') THEN RETURN refused('attempts-used-up'); END IF;
  IF v.blocked_until > kitroom_clock() THEN
    RETURN refused('attempts-wait', jsonb_build_object('seconds', ceil(extract(epoch FROM v.blocked_until - kitroom_clock()))));
  END IF;
  UPDATE attempt_limit SET failures = least(failures, 9) + 1, last_at = kitroom_clock(),
    blocked_until = CASE WHEN failures + 1 >= 4 THEN kitroom_clock() + make_interval(secs => 5 * power(2, least(failures, 9) - 3)) END WHERE key = p_key;
  RETURN jsonb_build_object('answer', 'done');
END $$;

CREATE FUNCTION clear_attempts(p_key text) RETURNS void LANGUAGE sql AS $$ DELETE FROM attempt_limit WHERE key = p_key $$;

CREATE FUNCTION note_security(p_kind text, p_staff uuid, p_device uuid, p_site uuid, p_detail jsonb) RETURNS void LANGUAGE sql AS $$
  INSERT INTO security_log (kind, staff_id, device_id, site_id, detail) VALUES (p_kind, p_staff, p_device, p_site, p_detail)
$$;

-- A changed policy can change what every set of the site may do: all are locked and told.
CREATE FUNCTION set_policy(p_who jsonb, p_policy jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
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
    retention_months = coalesce((p_policy->>'retentionMonths')::int, retention_months), units = coalesce(p_policy->>'units', units)
   WHERE id = (p_who->>'site')::uuid;
  PERFORM append_entry(u, 'policy-changed', p_who, v_at, p_policy) FROM unnest(v_sets) u;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'policy-changed', p_who, v_at, p_policy);
  RETURN jsonb_build_object('answer', 'done');
END $$;

-- The running server beats once a minute; `p_leapt` when the wall clock moved more than the server's steady clock did.
-- A beat under a doubtful clock vouches for nothing: a server started after the clock had run away must not make it look right.
CREATE FUNCTION beat_clock(p_leapt boolean) RETURNS void LANGUAGE plpgsql AS $$
DECLARE v_now timestamptz := kitroom_clock();
BEGIN
  IF p_leapt OR clock_doubt(v_now)->>'code' = 'clock-leap' THEN
    UPDATE clock_mark SET leap_seen_at = v_now WHERE leap_seen_at IS NULL;
  ELSE
    UPDATE clock_mark SET beat_at = greatest(beat_at, v_now);
  END IF;
END $$;

-- A named manager has looked at the clock and says it is right now.
CREATE FUNCTION confirm_clock(p_who jsonb, p_words text) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_at timestamptz := kitroom_clock();
  v_newest bigint;
BEGIN
  PERFORM actor(p_who, 'manager');
  SELECT coalesce(max(id), 0) INTO v_newest FROM record_entry;
  UPDATE clock_mark SET beat_at = v_at, leap_seen_at = NULL, confirmed_after = v_newest;
  PERFORM append_site_entry((p_who->>'site')::uuid, 'clock-confirmed', p_who, v_at, jsonb_build_object('words', p_words, 'clock', v_at));
  RETURN jsonb_build_object('answer', 'done', 'clock', v_at);
END $$;
