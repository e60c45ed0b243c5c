/** Who is behind a cookie. */
import type { Database } from "./database.ts";
import type { StaffRole } from "./people-acts.ts";

export interface SiteCard {
  readonly id: string;
  readonly name: string;
  readonly timeZone: string;
  readonly units: "metric" | "us";
}

export interface SessionCard {
  readonly id: string;
  readonly staff: { readonly id: string; readonly name: string; readonly roles: readonly StaffRole[] };
  readonly site: SiteCard;
  readonly deviceId: string | null;
}

export interface DeviceCard {
  readonly id: string;
  readonly name: string;
  readonly site: SiteCard;
}

/**
 * The live session behind a token, or null: ended, expired, idle too long (minutes), a closed person, a
 * revoked device, or no role left at the site. Roles are read afresh each time, so a withdrawn one acts at once.
 */
export async function findSession(db: Pick<Database, "reads">, tokenHash: Buffer, idleMinutes: { readonly pin: number; readonly password: number }): Promise<SessionCard | null> {
  const { rows } = await db.reads.query<{ id: string; staff: string; name: string; roles: StaffRole[] | null; site: SiteCard; device: string | null }>({
    name: "find_session",
    text: `
      SELECT s.id, p.id AS staff, p.name, s.device_id AS device,
        jsonb_build_object('id', t.id, 'name', t.name, 'timeZone', t.time_zone, 'units', t.units) AS site,
        (SELECT array_agg(r.role ORDER BY r.role) FROM staff_role r WHERE r.staff_id = p.id AND r.site_id = t.id AND r.until_at IS NULL) AS roles
      FROM session s JOIN staff p ON p.id = s.staff_id JOIN site t ON t.id = s.site_id LEFT JOIN device d ON d.id = s.device_id
      WHERE s.token_hash = $1 AND s.ended_at IS NULL AND s.expires_at > kitroom_clock() AND p.closed_at IS NULL AND d.revoked_at IS NULL
        AND s.last_seen_at > kitroom_clock() - make_interval(mins => CASE s.opened_with WHEN 'pin' THEN $2::int ELSE $3::int END)`,
    values: [tokenHash, idleMinutes.pin, idleMinutes.password],
  });
  const row = rows[0];
  if (row?.roles == null) return null;
  return { id: row.id, staff: { id: row.staff, name: row.name, roles: row.roles }, site: row.site, deviceId: row.device };
}

/** Whether a session found before still stands: not ended, not expired, the person and a role at its site still there. */
export async function isSessionLive(db: Pick<Database, "reads">, session: string): Promise<boolean> {
  const { rowCount } = await db.reads.query(
    `SELECT FROM session s JOIN staff p ON p.id = s.staff_id
     WHERE s.id = $1 AND s.ended_at IS NULL AND s.expires_at > kitroom_clock() AND p.closed_at IS NULL
       AND EXISTS (SELECT FROM staff_role r WHERE r.staff_id = p.id AND r.site_id = s.site_id AND r.until_at IS NULL)`,
    [session],
  );
  return rowCount === 1;
}

/** The enrolled device behind a token, or null. */
export async function findDevice(db: Pick<Database, "reads">, tokenHash: Buffer): Promise<DeviceCard | null> {
  const { rows } = await db.reads.query<DeviceCard>({
    name: "find_device",
    text: `
      SELECT d.id, d.name, jsonb_build_object('id', t.id, 'name', t.name, 'timeZone', t.time_zone, 'units', t.units) AS site
      FROM device d JOIN site t ON t.id = d.site_id WHERE d.token_hash = $1 AND d.revoked_at IS NULL`,
    values: [tokenHash],
  });
  return rows[0] ?? null;
}

/** The people who may change over on a site's devices. */
export async function peopleWithPin(db: Pick<Database, "reads">, site: string): Promise<readonly { readonly id: string; readonly name: string }[]> {
  const { rows } = await db.reads.query<{ id: string; name: string }>(
    `SELECT p.id, p.name FROM staff p WHERE p.closed_at IS NULL AND p.pin_hash IS NOT NULL
       AND EXISTS (SELECT FROM staff_role r WHERE r.staff_id = p.id AND r.site_id = $1 AND r.until_at IS NULL) ORDER BY p.name`,
    [site],
  );
  return rows;
}

/** The sites where a person holds a role. */
export async function sitesOf(db: Pick<Database, "reads">, staff: string): Promise<readonly { readonly id: string; readonly name: string }[]> {
  const { rows } = await db.reads.query<{ id: string; name: string }>(
    `SELECT DISTINCT t.id, t.name FROM staff_role r JOIN site t ON t.id = r.site_id WHERE r.staff_id = $1 AND r.until_at IS NULL ORDER BY t.name`,
    [staff],
  );
  return rows;
}

export interface ClockReading {
  readonly today: string;
  readonly now: Date;
  readonly doubt: { readonly code: "clock-behind" | "clock-leap"; readonly facts: { readonly clock: string; readonly recorded: string } } | null;
}

/** The database's clock, the site's day by it, and whether it can be trusted. */
export async function readClock(db: Pick<Database, "reads">, timeZone: string): Promise<ClockReading> {
  const { rows } = await db.reads.query<ClockReading>({
    name: "read_clock",
    text: "SELECT (now AT TIME ZONE $1)::date::text AS today, now, clock_doubt(now) AS doubt FROM (SELECT kitroom_clock() AS now) c",
    values: [timeZone],
  });
  return rows[0]!;
}
