-- What holds a set whatever the hire is, in SQL: for boards of many sets, and for the database's own
-- check inside `hand_out`. packages/rules decides and explains; tests compare the two on random fleets.

INSERT INTO act_kind (act, soils, ends_release) VALUES
  ('registered',       true,  true),
  ('imported',         true,  true),
  ('fitted',           true,  true),
  ('removed',          true,  true),
  ('transferred',      true,  true),
  ('handed-out',       true,  false),
  ('taken-back',       true,  false),
  ('wash-started',     false, false),
  ('wet-ended',        false, false),
  ('cleaned',          false, false),
  ('wash-abandoned',   true,  false),
  ('breath-tested',    true,  false),
  ('fault-reported',   false, false),
  ('fault-cleared',    false, false),
  ('opened',           true,  true),
  ('serviced',         true,  true),
  ('inspected',        true,  false),
  ('bedding-checked',  true,  false),
  ('bench-tested',     true,  false),
  ('released',         false, false),
  ('retired',          false, false),
  ('evidence-locked',  false, false),
  ('notice-opened',    false, false),
  ('notice-cleared',   false, false),
  ('limits-accepted',  false, false),
  ('pairing-changed',  false, false),
  ('policy-changed',   false, false),
  ('corrected',        false, false),
  ('bath-mixed',       false, false),
  ('bath-emptied',     false, false),
  ('site-opened',      false, false),
  ('person-added',     false, false),
  ('roles-changed',    false, false),
  ('secret-changed',   false, false),
  ('person-closed',    false, false),
  ('authorised',       false, false),
  ('device-enrolled',  false, false),
  ('device-revoked',   false, false),
  ('product-accepted', false, false),
  ('product-approved', false, false),
  ('clock-confirmed',  false, false);

-- The earlier of "in use from" and twelve months after purchase; null while the purchase is not known:
-- it may have lain for years before its first use.
CREATE FUNCTION first_day_of_use(in_use_on date, bought_on date) RETURNS date
  LANGUAGE sql IMMUTABLE AS $$ SELECT CASE WHEN bought_on IS NOT NULL THEN least(in_use_on, (bought_on + interval '12 months')::date) END $$;

-- Calendar months on; a day that month lacks becomes its last day (31 Aug + 6 months = 28 or 29 Feb).
CREATE FUNCTION months_after(from_on date, months int) RETURNS date
  LANGUAGE sql IMMUTABLE AS $$ SELECT (from_on + make_interval(months => months))::date $$;

-- Teaching shortens a months limb, and never gives one to a model without (`least` alone would).
CREATE FUNCTION taught_cap(months int, cap int) RETURNS int
  LANGUAGE sql IMMUTABLE AS $$ SELECT CASE WHEN months IS NOT NULL THEN least(months, cap) END $$;

CREATE VIEW limits_in_force AS
  SELECT DISTINCT ON (model_id) * FROM model_limits ORDER BY model_id, nth DESC;

-- Every fitted component with its due days and what is left of each limb.
CREATE VIEW component_standing AS
SELECT f.set_id, s.site_id, f.position, c.id AS component_id, c.model_id, c.serial,
       (l.id IS NOT NULL
         -- A months limb with no day to count from cannot be judged.
         AND (l.service_months    IS NULL OR coalesce(c.serviced_on, first_day_of_use(c.in_use_on, c.bought_on)) IS NOT NULL)
         -- Nor can a limb in dives or hours of a part whose use since its last service nobody knows.
         AND (c.counts_known OR num_nonnulls(l.service_dives, l.service_minutes, l.inspection_dives, l.inspection_minutes) = 0)
         AND (l.inspection_months IS NULL OR coalesce(c.checked_on,  first_day_of_use(c.in_use_on, c.bought_on)) IS NOT NULL)) AS judged,
       (c.last_used_on IS NULL AND c.serviced_on IS NULL AND c.inspected_on IS NULL) AS never_seen,
       months_after(greatest(c.in_use_on, c.last_used_on, c.serviced_on, c.inspected_on), t.shelf_months) AS shelf_until,
       months_after(coalesce(c.serviced_on, first_day_of_use(c.in_use_on, c.bought_on)),
         CASE WHEN c.taught_total > c.serviced_taught THEN taught_cap(l.service_months, t.teaching_months) ELSE l.service_months END) AS service_due_on,
       -- The day it would be due if this hire were teaching.
       months_after(coalesce(c.serviced_on, first_day_of_use(c.in_use_on, c.bought_on)),
         taught_cap(l.service_months, t.teaching_months)) AS service_due_on_taught,
       l.service_dives   - (c.dives_total   - c.serviced_dives)   AS service_dives_left,
       l.service_minutes - (c.minutes_total - c.serviced_minutes) AS service_minutes_left,
       CASE WHEN l.has_inspection THEN months_after(coalesce(c.checked_on, first_day_of_use(c.in_use_on, c.bought_on)), l.inspection_months) END AS inspection_due_on,
       CASE WHEN l.has_inspection THEN l.inspection_dives   - (c.dives_total   - c.checked_dives)   END AS inspection_dives_left,
       CASE WHEN l.has_inspection THEN l.inspection_minutes - (c.minutes_total - c.checked_minutes) END AS inspection_minutes_left
FROM fitting f
JOIN component c ON c.id = f.component_id
JOIN regulator_set s ON s.id = f.set_id
JOIN site t ON t.id = s.site_id
LEFT JOIN LATERAL (SELECT * FROM model_limits m WHERE m.model_id = c.model_id ORDER BY m.nth DESC LIMIT 1) l ON true
WHERE f.until_at IS NULL;

-- The heart of the gate for one set and one hire: every code that holds, in no particular order.
-- Suitability (connection, pressure, oxygen, cold, pairing) is decided by packages/rules.
CREATE FUNCTION heart_holds(p_set uuid, p_today date, p_back_on date, p_dives int, p_minutes int, p_teaching boolean)
RETURNS TABLE (code text, component uuid) LANGUAGE sql STABLE AS $$
  -- What is true of the set as a whole.
  SELECT v.code, NULL::uuid FROM regulator_set s CROSS JOIN LATERAL (VALUES
      ('evidence-lock', evidence_seq IS NOT NULL),
      ('retired', retired_seq IS NOT NULL),
      ('out', EXISTS (SELECT FROM hire_line WHERE set_id = p_set AND back_at IS NULL)),
      ('not-released', released_seq <= unreleased_seq),
      ('not-clean', cleaned_seq <= soiled_seq),
      ('incomplete', (SELECT count(*) FILTER (WHERE position = 'first-stage') <> 1 OR count(*) FILTER (WHERE position = 'primary') <> 1
                          OR count(*) FILTER (WHERE position = 'alternate') = 0 OR count(*) FILTER (WHERE position = 'gauge') = 0
                        FROM fitting WHERE set_id = p_set AND until_at IS NULL))
    ) v (code, holds) WHERE s.id = p_set AND v.holds
  UNION ALL SELECT 'fault', component_id FROM fault WHERE set_id = p_set AND cleared_at IS NULL AND severity IN ('out', 'hold')
  UNION ALL SELECT CASE n.state WHEN 'open' THEN 'notice' ELSE 'notice-check' END, n.component_id
              FROM fitting f JOIN notice_match n ON n.component_id = f.component_id WHERE f.set_id = p_set AND f.until_at IS NULL AND n.cleared_at IS NULL
  -- What is true of each component.
  UNION ALL SELECT v.code, k.component_id FROM component_standing k
    CROSS JOIN LATERAL (SELECT CASE WHEN p_teaching THEN service_due_on_taught ELSE service_due_on END AS due_on) d
    CROSS JOIN LATERAL (VALUES
      ('first-inspection', never_seen),
      (CASE WHEN p_today > due_on OR service_dives_left <= 0 OR service_minutes_left <= 0 THEN 'service-overdue' ELSE 'service-falls-due' END,
        judged AND (greatest(p_back_on, p_today) > due_on OR service_dives_left <= 0 OR service_minutes_left <= 0
          OR p_dives > service_dives_left OR p_minutes > service_minutes_left)),
      (CASE WHEN p_today > inspection_due_on OR inspection_dives_left <= 0 OR inspection_minutes_left <= 0 THEN 'inspection-overdue' ELSE 'inspection-falls-due' END,
        judged AND (greatest(p_back_on, p_today) > inspection_due_on OR inspection_dives_left <= 0 OR inspection_minutes_left <= 0
          OR p_dives > inspection_dives_left OR p_minutes > inspection_minutes_left)),
      ('shelf-inspection', p_today > shelf_until),
      ('not-judged', NOT judged)
    ) v (code, holds) WHERE k.set_id = p_set AND v.holds
$$;

-- One row a set for boards: its state in words, and what falls due first.
CREATE VIEW set_board AS
SELECT s.id, s.tag, s.site_id, s.seq, s.last_at,
       (kitroom_clock() AT TIME ZONE t.time_zone)::date AS today,
       CASE
         WHEN s.evidence_seq IS NOT NULL THEN 'evidence-lock'
         WHEN s.retired_seq IS NOT NULL THEN 'retired'
         WHEN o.set_id IS NOT NULL THEN 'out'
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
