/** Fleets of any size written straight into the tables, for measuring only. */
import type pg from "pg";

export interface FleetSize {
  readonly name: string;
  readonly sets: number;
  readonly sites: number;
  readonly hireLines: number;
}

export const FLEETS: readonly FleetSize[] = [
  { name: "one centre", sets: 60, sites: 1, hireLines: 6_000 },
  { name: "a large one", sets: 400, sites: 1, hireLines: 40_000 },
  { name: "a chain", sets: 20_000, sites: 50, hireLines: 2_000_000 },
];

/** The site that is measured, and a person who may hand out there. */
export interface MeasuredSite {
  readonly site: string;
  readonly staff: string;
}

/** Sites, one person, six models, ready sets of five components each, and hires long ended. */
export async function writeFleet(owner: pg.Pool, size: FleetSize): Promise<MeasuredSite> {
  const client = await owner.connect();
  try {
    await client.query("SET statement_timeout = 0");
    await client.query("SET transaction_timeout = 0").catch(() => undefined);
    const { rows: sites } = await client.query<{ id: string }>(
      "INSERT INTO site (name, time_zone, units, drying_minutes) SELECT 'Site ' || n, 'UTC', 'metric', 0 FROM generate_series(1, $1) n RETURNING id",
      [size.sites],
    );
    const site = sites[0]!.id;
    const { rows: people } = await client.query<{ id: string }>("INSERT INTO staff (name, login, password_hash) VALUES ('Bench', 'bench', 'none') RETURNING id");
    const staff = people[0]!.id;
    await client.query("INSERT INTO staff_role (staff_id, site_id, role) SELECT $1, id, r FROM site, unnest(ARRAY['desk', 'wash-room', 'technician', 'manager']) r", [staff]);
    await client.query(`
      INSERT INTO model (kind, maker, name) VALUES ('first-stage', 'Tarnfell', 'F'), ('second-stage', 'Tarnfell', 'P'), ('second-stage', 'Tarnfell', 'A'), ('gauge', 'Tarnfell', 'G'), ('inflator', 'Tarnfell', 'I')`);
    await client.query(
      `INSERT INTO model_limits (model_id, nth, service_months, service_dives, service_minutes, has_inspection, inspection_months, inspection_dives, cold_rating, max_o2_tenths, connection, max_supply_bar, manual_page, accepted_by)
       SELECT id, 1, 24, 100000, 6000000, true, 12, 50000, 'tested-4C', 400, CASE kind WHEN 'first-stage' THEN 'din-300' END, CASE kind WHEN 'first-stage' THEN 300 END, 'page 1', $1 FROM model`,
      [staff],
    );
    await client.query("INSERT INTO pairing (first_model_id, second_model_id, manual_page, approved_by) SELECT f.id, s.id, 'page 1', $1 FROM model f, model s WHERE f.kind = 'first-stage' AND s.kind = 'second-stage'", [staff]);
    await client.query(
      `INSERT INTO regulator_set (tag, site_id, seq, soiled_seq, cleaned_seq, unreleased_seq, released_seq, last_at)
       SELECT 'B-' || lpad(n::text, 6, '0'), ($2::uuid[])[1 + n % $3], 4, 2, 4, 1, 3, kitroom_clock() - interval '2 days' FROM generate_series(0, $1 - 1) n`,
      [size.sets, sites.map(({ id }) => id), size.sites],
    );
    await client.query(`
      INSERT INTO component (model_id, site_id, serial, bought_on, in_use_on, last_used_on, serviced_on, checked_on, dives_total, minutes_total, serviced_dives, checked_dives)
      SELECT m.id, s.site_id, s.tag || m.name, current_date - 800, current_date - 700, current_date - 3, current_date - (20 + abs(hashtext(s.tag)) % 300), current_date - (20 + abs(hashtext(s.tag)) % 300), 500, 30000, 300, 300
      FROM regulator_set s, model m`);
    await client.query(`
      INSERT INTO fitting (set_id, component_id, position, from_seq, from_at)
      SELECT s.id, c.id, CASE m.name WHEN 'F' THEN 'first-stage' WHEN 'P' THEN 'primary' WHEN 'A' THEN 'alternate' WHEN 'G' THEN 'gauge' ELSE 'inflator-hose' END, 1, s.last_at - interval '700 days'
      FROM regulator_set s, model m, component c WHERE c.model_id = m.id AND c.serial = s.tag || m.name`);
    await writeHires(client, size, staff);
    await client.query("ANALYZE");
    return { site, staff };
  } finally {
    client.release();
  }
}

async function writeHires(client: pg.PoolClient, size: FleetSize, staff: string): Promise<void> {
  await client.query("INSERT INTO hirer (name) VALUES ('Somebody')");
  // A hire of one set each; the constraint triggers of references are not what is measured here.
  await client.query(
    `INSERT INTO hire (site_id, hirer_id, back_on, dives, minutes, teaching, cylinder_connection, cylinder_bar, o2_tenths, water_tenths_c, depth_m, out_at, out_by, request_id)
     SELECT s.site_id, (SELECT id FROM hirer LIMIT 1), current_date - 10, 2, 120, false, 'din-300', 232, 210, 150, 18, kitroom_clock() - interval '20 days', $1, gen_random_uuid() FROM regulator_set s`,
    [staff],
  );
  await client.query(
    `WITH numbered AS MATERIALIZED (SELECT s.id AS set_id, h.id AS hire_id FROM (SELECT id, site_id, row_number() OVER (PARTITION BY site_id ORDER BY id) n FROM regulator_set) s
         JOIN (SELECT id, site_id, row_number() OVER (PARTITION BY site_id ORDER BY id) n FROM hire) h ON h.site_id = s.site_id AND h.n = s.n)
     INSERT INTO hire_line (hire_id, set_id, out_seq, out_at, back_on, back_seq, back_at, back_by, dives, minutes, estimated, water_kind, problem)
     SELECT hire_id, set_id, 1, kitroom_clock() - make_interval(days => 4 + n), current_date - 4 - n, 2, kitroom_clock() - make_interval(days => 3 + n), $1, 2, 120, false, 'sea', false
     FROM numbered, generate_series(1, $2) n`,
    [staff, Math.max(1, Math.round(size.hireLines / size.sets))],
  );
  await client.query(`
    INSERT INTO component_use (component_id, line_id, dives, minutes, taught, estimated, used_on, at)
    SELECT f.component_id, l.id, l.dives, l.minutes, false, false, l.back_at::date, l.back_at FROM hire_line l JOIN fitting f ON f.set_id = l.set_id AND f.position = 'first-stage'`);
  await client.query(`
    INSERT INTO record_entry (site_id, act, at, content) SELECT site_id, 'bath-mixed', kitroom_clock() - interval '1 hour', '{}' FROM regulator_set`);
}
