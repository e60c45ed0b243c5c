-- The application reads tables and calls acts. It writes nothing itself, and cannot touch a trigger.

DO $$
DECLARE f record;
BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'hangrail_app') THEN CREATE ROLE hangrail_app NOLOGIN; END IF;
  REVOKE ALL ON SCHEMA public FROM PUBLIC;
  GRANT USAGE ON SCHEMA public TO hangrail_app;
  GRANT SELECT ON ALL TABLES IN SCHEMA public TO hangrail_app;
  -- Every act runs with its owner's rights and finds only our own tables.
  FOR f IN SELECT p.oid::regprocedure AS name, p.prorettype = 'trigger'::regtype AS is_trigger FROM pg_proc p
            WHERE p.pronamespace = 'public'::regnamespace AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = p.oid AND d.deptype = 'e') LOOP
    EXECUTE format('REVOKE ALL ON FUNCTION %s FROM PUBLIC', f.name);
  END LOOP;
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'hand_out', 'take_back', 'report_fault', 'clear_fault', 'mix_bath', 'empty_bath', 'start_wash', 'end_wet', 'finish_wash', 'soil_set',
      'accept_product', 'approve_product', 'add_model', 'accept_limits', 'set_pairing', 'register_set', 'refit', 'retire_set', 'transfer_set',
      'record_work', 'release_sets', 'open_notice', 'clear_notice', 'first_run', 'open_site', 'add_person', 'set_roles', 'set_secret', 'close_person',
      'authorise', 'enrol_device', 'revoke_device', 'open_session', 'touch_session', 'end_session', 'take_attempt', 'clear_attempts', 'note_security',
      'set_policy', 'beat_clock', 'confirm_clock', 'import_fleet', 'import_history', 'open_import', 'step_import']) LOOP
    EXECUTE format('ALTER FUNCTION %s SECURITY DEFINER SET search_path = public, pg_temp', f.name);
    -- Planning the gate's questions takes ten times as long as answering them, and the plan is the same for every set.
    IF f.name::text !~ '^import_' THEN EXECUTE format('ALTER FUNCTION %s SET plan_cache_mode = force_generic_plan', f.name); END IF;
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
  -- Read-only helpers that views and reads lean on.
  FOR f IN SELECT p.oid::regprocedure AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND p.proname = ANY (ARRAY[
      'kitroom_clock', 'first_day_of_use', 'months_after', 'taught_cap', 'clock_doubt', 'site_today', 'heart_holds', 'is_authorised']) LOOP
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO hangrail_app', f.name);
  END LOOP;
END $$;
