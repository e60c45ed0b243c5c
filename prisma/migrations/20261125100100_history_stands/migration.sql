-- History cannot be edited or deleted, not even by the owner of the tables. Corrections are further rows.

CREATE FUNCTION history_stands() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% on % is refused: history is only ever added to', TG_OP, TG_TABLE_NAME USING ERRCODE = 'HR409';
END $$;

-- Some rows are begun and later completed, once: the columns named in the trigger may go from
-- empty to filled; every other column stays as it was written.
CREATE FUNCTION fill_once() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  was jsonb := to_jsonb(OLD);
  now_is jsonb := to_jsonb(NEW);
  col text;
BEGIN
  IF (was - TG_ARGV) <> (now_is - TG_ARGV) THEN
    RAISE EXCEPTION 'UPDATE on % is refused: what was written stays as written', TG_TABLE_NAME USING ERRCODE = 'HR409';
  END IF;
  FOREACH col IN ARRAY TG_ARGV LOOP
    IF was -> col <> 'null'::jsonb AND was -> col IS DISTINCT FROM now_is -> col THEN
      RAISE EXCEPTION 'UPDATE on % is refused: % was already filled in', TG_TABLE_NAME, col USING ERRCODE = 'HR409';
    END IF;
  END LOOP;
  RETURN NEW;
END $$;

DO $$
DECLARE t text;
BEGIN
  -- Nothing here is ever deleted.
  FOREACH t IN ARRAY ARRAY['record_entry','component_import','component_use','component_work','release','model_limits','act_kind','hire','hire_line',
      'fitting','fault','cleaning_run','cleaning_run_set','bath','notice','notice_match','authorisation','staff_role',
      'regulator_set','component','model','disinfectant','disinfectant_approval','pairing','command'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE DELETE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_delete', t);
    EXECUTE format('CREATE TRIGGER %I BEFORE TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION history_stands()', t || '_no_truncate', t);
  END LOOP;
  -- Nothing here is ever changed.
  FOREACH t IN ARRAY ARRAY['record_entry','component_import','component_use','component_work','release','model_limits','hire','notice','authorisation',
      'disinfectant_approval','command','model'] LOOP
    EXECUTE format('CREATE TRIGGER %I BEFORE UPDATE ON %I FOR EACH ROW EXECUTE FUNCTION history_stands()', t || '_no_update', t);
  END LOOP;
END $$;

CREATE TRIGGER hire_line_fill BEFORE UPDATE ON hire_line FOR EACH ROW
  EXECUTE FUNCTION fill_once('back_seq', 'back_at', 'back_by', 'dives', 'minutes', 'estimated', 'water_kind', 'problem', 'words');
CREATE TRIGGER fitting_fill BEFORE UPDATE ON fitting FOR EACH ROW
  EXECUTE FUNCTION fill_once('until_seq', 'until_at');
CREATE TRIGGER fault_fill BEFORE UPDATE ON fault FOR EACH ROW
  EXECUTE FUNCTION fill_once('clear_seq', 'cleared_at', 'cleared_by', 'outcome', 'clear_words');
CREATE TRIGGER cleaning_run_fill BEFORE UPDATE ON cleaning_run FOR EACH ROW
  EXECUTE FUNCTION fill_once('wet_ended_at', 'dry_from', 'closed_at');
CREATE TRIGGER cleaning_run_set_fill BEFORE UPDATE ON cleaning_run_set FOR EACH ROW
  EXECUTE FUNCTION fill_once('wet_seq', 'clean_seq', 'abandoned_seq');
CREATE TRIGGER bath_fill BEFORE UPDATE ON bath FOR EACH ROW EXECUTE FUNCTION fill_once('emptied_at');
CREATE TRIGGER notice_match_fill BEFORE UPDATE ON notice_match FOR EACH ROW
  EXECUTE FUNCTION fill_once('cleared_at', 'cleared_by', 'remedy_done');
CREATE TRIGGER staff_role_fill BEFORE UPDATE ON staff_role FOR EACH ROW EXECUTE FUNCTION fill_once('until_at');
CREATE TRIGGER pairing_fill BEFORE UPDATE ON pairing FOR EACH ROW EXECUTE FUNCTION fill_once('withdrawn_at');
CREATE TRIGGER disinfectant_fill BEFORE UPDATE ON disinfectant FOR EACH ROW EXECUTE FUNCTION fill_once('withdrawn_at');

-- A component's reading never runs backwards, and its identity never changes.
CREATE FUNCTION reading_only_grows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.dives_total < OLD.dives_total OR NEW.minutes_total < OLD.minutes_total OR NEW.taught_total < OLD.taught_total THEN
    RAISE EXCEPTION 'UPDATE on component is refused: its count cannot go down' USING ERRCODE = 'HR409';
  END IF;
  IF (NEW.model_id, NEW.serial) IS DISTINCT FROM (OLD.model_id, OLD.serial) THEN
    RAISE EXCEPTION 'UPDATE on component is refused: a component keeps its model and serial' USING ERRCODE = 'HR409';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER component_reading BEFORE UPDATE ON component FOR EACH ROW EXECUTE FUNCTION reading_only_grows();

CREATE FUNCTION seq_only_grows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.seq <> OLD.seq + 1 OR NEW.tag <> OLD.tag
     OR NEW.soiled_seq < OLD.soiled_seq OR NEW.unreleased_seq < OLD.unreleased_seq
     OR (OLD.retired_seq IS NOT NULL AND NEW.retired_seq IS DISTINCT FROM OLD.retired_seq)
     OR (OLD.evidence_seq IS NOT NULL AND NEW.evidence_seq IS DISTINCT FROM OLD.evidence_seq) THEN
    RAISE EXCEPTION 'UPDATE on regulator_set is refused: it changes only by acts, one number at a time' USING ERRCODE = 'HR409';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER regulator_set_seq BEFORE UPDATE ON regulator_set FOR EACH ROW EXECUTE FUNCTION seq_only_grows();

-- An entry carries the number its set has just reached, so the record of a set has no gap.
CREATE FUNCTION entry_in_step() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.seq IS DISTINCT FROM (SELECT seq FROM regulator_set WHERE id = NEW.set_id) THEN
    RAISE EXCEPTION 'INSERT on record_entry is refused: entry % is not the next of its set', NEW.seq USING ERRCODE = 'HR409';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER record_entry_in_step BEFORE INSERT ON record_entry FOR EACH ROW WHEN (NEW.set_id IS NOT NULL) EXECUTE FUNCTION entry_in_step();

-- Only what belongs in a position sits there: a transmitter is no gauge.
CREATE FUNCTION kind_belongs() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE v_kind text;
BEGIN
  SELECT m.kind INTO v_kind FROM component c JOIN model m ON m.id = c.model_id WHERE c.id = NEW.component_id;
  IF v_kind IS DISTINCT FROM (CASE NEW.position WHEN 'primary' THEN 'second-stage' WHEN 'alternate' THEN 'second-stage' WHEN 'inflator-hose' THEN 'inflator' ELSE NEW.position END) THEN
    RAISE EXCEPTION 'A % does not belong in the position %', v_kind, NEW.position USING ERRCODE = 'HR400';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER fitting_kind BEFORE INSERT ON fitting FOR EACH ROW EXECUTE FUNCTION kind_belongs();
