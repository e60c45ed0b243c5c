/** People and devices of a site, for the manager's screens. */
import type { Day } from "@hangrail/rules/calendar";
import type { Database } from "./database.ts";
import type { StaffRole } from "./people-acts.ts";

export interface PersonRow {
  readonly id: string;
  readonly name: string;
  readonly login: string;
  readonly roles: readonly StaffRole[];
  readonly authorisations: readonly { readonly maker: string; readonly oxygenClean: boolean; readonly from: Day; readonly until: Day; readonly evidence: string }[];
}

/** The people with a role at a site, closed ones left out. */
export async function listPeople(db: Pick<Database, "reads">, site: string): Promise<readonly PersonRow[]> {
  const { rows } = await db.reads.query<PersonRow>(
    `SELECT p.id, p.name, p.login,
       (SELECT array_agg(r.role ORDER BY r.role) FROM staff_role r WHERE r.staff_id = p.id AND r.site_id = $1 AND r.until_at IS NULL) AS roles,
       coalesce((SELECT jsonb_agg(jsonb_build_object('maker', a.maker, 'oxygenClean', a.oxygen_clean, 'from', a.from_on, 'until', a.until_on, 'evidence', a.evidence)
                   ORDER BY a.maker, a.until_on) FROM authorisation a WHERE a.staff_id = p.id), '[]') AS authorisations
     FROM staff p WHERE p.closed_at IS NULL AND EXISTS (SELECT FROM staff_role r WHERE r.staff_id = p.id AND r.site_id = $1 AND r.until_at IS NULL)
     ORDER BY p.name`,
    [site],
  );
  return rows;
}

export interface DeviceRow {
  readonly id: string;
  readonly name: string;
  readonly enrolledAt: Date;
  readonly enrolledBy: string;
  readonly revokedAt: Date | null;
}

export async function listDevices(db: Pick<Database, "reads">, site: string): Promise<readonly DeviceRow[]> {
  const { rows } = await db.reads.query<DeviceRow>(
    `SELECT d.id, d.name, d.enrolled_at AS "enrolledAt", p.name AS "enrolledBy", d.revoked_at AS "revokedAt"
     FROM device d JOIN staff p ON p.id = d.enrolled_by WHERE d.site_id = $1 ORDER BY d.revoked_at IS NOT NULL, d.name`,
    [site],
  );
  return rows;
}

/** Who of this site may work on which makers today. */
export async function authorisedMakers(db: Pick<Database, "reads">, staff: string, on: string): Promise<readonly string[]> {
  const { rows } = await db.reads.query<{ maker: string }>(
    "SELECT DISTINCT maker FROM authorisation WHERE staff_id = $1 AND $2::date BETWEEN from_on AND until_on ORDER BY maker",
    [staff, on],
  );
  return rows.map(({ maker }) => maker);
}

/** The sites where a login name holds a role; of one site when its name is given. */
export async function findStaffAt(db: Pick<Database, "reads">, login: string, siteName: string | null): Promise<readonly { readonly staff: string; readonly site: string; readonly siteName: string }[]> {
  const { rows } = await db.reads.query<{ staff: string; site: string; siteName: string }>(
    `SELECT DISTINCT p.id AS staff, t.id AS site, t.name AS "siteName" FROM staff p JOIN staff_role r ON r.staff_id = p.id AND r.until_at IS NULL JOIN site t ON t.id = r.site_id
     WHERE p.login = lower($1) AND p.closed_at IS NULL AND ($2::text IS NULL OR t.name = $2) ORDER BY t.name`,
    [login, siteName],
  );
  return rows;
}

/** The sites where a person holds one of these roles, by name. */
export async function sitesWith(db: Pick<Database, "reads">, staff: string, roles: readonly StaffRole[]): Promise<readonly { readonly id: string; readonly name: string }[]> {
  const { rows } = await db.reads.query<{ id: string; name: string }>(
    "SELECT DISTINCT t.id, t.name FROM staff_role r JOIN site t ON t.id = r.site_id WHERE r.staff_id = $1 AND r.role = ANY ($2) AND r.until_at IS NULL ORDER BY t.name",
    [staff, roles],
  );
  return rows;
}
