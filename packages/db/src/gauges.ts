/** The gauges of the bench, with every calibration. */
import type { Day } from "@hangrail/rules/calendar";
import type { TestGauge } from "@hangrail/rules/test-gauges";
import type { Database } from "./database.ts";

export interface GaugeRow extends TestGauge {
  readonly name: string;
  readonly serial: string;
  readonly retiredAt: Date | null;
  /** The newest first. */
  readonly calibrations: readonly { readonly on: Day; readonly until: Day; readonly certificate: string; readonly notedBy: string; readonly notedAt: string }[];
}

/** The gauges of a site, retired ones last. The calibration that counts is the newest done by that day. */
export async function listGauges(db: Pick<Database, "reads">, site: string, today: Day): Promise<readonly GaugeRow[]> {
  const { rows } = await db.reads.query<Omit<GaugeRow, "calibratedOn" | "calibratedUntil">>(
    `SELECT g.id, g.name, g.serial, g.measures, g.span_low AS "spanLow", g.span_high AS "spanHigh", g.class_tenths AS "classTenths", g.retired_at AS "retiredAt",
       coalesce((SELECT jsonb_agg(jsonb_build_object('on', c.calibrated_on, 'until', c.valid_until_on, 'certificate', c.certificate, 'notedBy', p.name, 'notedAt', c.noted_at)
           ORDER BY c.calibrated_on DESC, c.id DESC) FROM gauge_calibration c JOIN staff p ON p.id = c.noted_by WHERE c.gauge_id = g.id), '[]') AS calibrations
     FROM test_gauge g WHERE g.site_id = $1 ORDER BY g.retired_at NULLS FIRST, g.measures DESC, g.name`,
    [site],
  );
  return rows.map((gauge) => {
    const counts = gauge.calibrations.find(({ on }) => on <= today);
    return { ...gauge, calibratedOn: counts?.on ?? null, calibratedUntil: counts?.until ?? null };
  });
}
