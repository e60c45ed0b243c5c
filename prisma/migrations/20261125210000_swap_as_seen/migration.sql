-- Whether a set goes together after a swap (ports, threads, places) is decided outside the database, on the set as it was
-- read. So a swap that fits something names the sequence number it was decided on, as a hand-out does: two parts that each
-- find the last free port do not both go on.

DROP FUNCTION refit(jsonb, uuid, uuid, uuid, text, text);

-- Swaps: takes `p_off` off (or nothing) and fits `p_on` (or nothing) at a position. Both sets' histories stay as they were.
-- `p_seq` is the set's sequence number that the swap was decided on; taking off alone needs none.
CREATE FUNCTION refit(p_who jsonb, p_set uuid, p_seq int, p_off uuid, p_on uuid, p_position text, p_why text) RETURNS jsonb LANGUAGE plpgsql AS $$
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
    SELECT refused('set-changed', jsonb_build_object('tag', tag)) INTO v_stop FROM regulator_set WHERE id = p_set AND seq IS DISTINCT FROM p_seq;
    IF v_stop IS NOT NULL THEN RETURN v_stop; END IF;
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

REVOKE ALL ON FUNCTION refit(jsonb, uuid, int, uuid, uuid, text, text) FROM PUBLIC;
ALTER FUNCTION refit(jsonb, uuid, int, uuid, uuid, text, text) SECURITY DEFINER SET search_path = public, pg_temp;
ALTER FUNCTION refit(jsonb, uuid, int, uuid, uuid, text, text) SET plan_cache_mode = force_generic_plan;
GRANT EXECUTE ON FUNCTION refit(jsonb, uuid, int, uuid, uuid, text, text) TO hangrail_app;
