/** The gauges of the bench: their calibration on a day, and how far each may be off. */
import { day } from "@hangrail/rules/calendar";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";

let at: ApiRoom;
let technician: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ stoppedAt: "2026-03-20T08:00:00Z" });
  technician = (await at.as("technician")).api;
});
afterAll(() => at.close());

const aGauge = (name: string, over: object = {}) => ({
  name, serial: `T-${name}`, measures: "pressure" as const, spanLow: 0, spanHigh: 2_500, classTenths: 25,
  calibratedOn: day("2025-04-01"), validUntil: day("2026-04-01"), certificate: "Certificate 71", ...over,
});
const find = async (name: string) => (await technician.gauges.list()).gauges.find((gauge) => gauge.name === name)!;

test("a gauge of 0 to 25 bar, class 2.5, may be 0.625 bar off", async () => {
  expect(await technician.gauges.add(aGauge("Coarse"))).toMatchObject({ answer: "done" });
  expect(await find("Coarse")).toMatchObject({ errorThousandths: 62_500, calibration: "due-soon", calibratedOn: "2025-04-01", calibratedUntil: "2026-04-01", retiredAt: null });
});

test("the newest calibration counts, and every one is kept", async () => {
  await technician.gauges.add(aGauge("Fine", { validUntil: day("2025-12-31") }));
  const gauge = await find("Fine");
  expect(gauge.calibration).toBe("out-of-date");
  const calibrate = (on: string, until: string) => technician.gauges.calibrate({ requestId: aRequest(), gaugeId: gauge.id, on: day(on), until: day(until), certificate: "Certificate 90" });
  expect(await calibrate("2026-03-20", "2027-03-20")).toEqual({ answer: "done" });
  // An older certificate found later changes nothing.
  expect(await calibrate("2024-03-20", "2025-03-20")).toEqual({ answer: "done" });
  const now = await find("Fine");
  expect(now).toMatchObject({ calibration: "in-calibration", calibratedUntil: "2027-03-20" });
  expect(now.calibrations.map(({ on }) => on)).toEqual(["2026-03-20", "2025-04-01", "2024-03-20"]);
});

test("what cannot be is refused, and nothing is written", async () => {
  await technician.gauges.add(aGauge("Twice"));
  const before = await digestOf(at.owner);
  expect(await technician.gauges.add(aGauge("Twice"))).toMatchObject({ answer: "refused", code: "name-taken" });
  expect(await codeOf(technician.gauges.add(aGauge("A", { calibratedOn: day("2026-03-21"), validUntil: day("2027-03-21") })))).toBe("BAD_REQUEST");
  expect(await codeOf(technician.gauges.add(aGauge("B", { validUntil: day("2025-03-01") })))).toBe("BAD_REQUEST");
  expect(await codeOf(technician.gauges.add(aGauge("C", { spanLow: 2_500 })))).toBe("BAD_REQUEST");
  expect(await codeOf(technician.gauges.add(aGauge("D", { classTenths: 0 })))).toBe("BAD_REQUEST");
  expect(await digestOf(at.owner)).toBe(before);
});

test("a retired gauge stays in the list and is calibrated no more", async () => {
  await technician.gauges.add(aGauge("Old"));
  const { id } = await find("Old");
  expect(await technician.gauges.retire({ gaugeId: id, words: "Dropped" })).toEqual({ answer: "done" });
  const { gauges } = await technician.gauges.list();
  expect(gauges.at(-1)).toMatchObject({ name: "Old" });
  expect(gauges.at(-1)!.retiredAt).not.toBeNull();
  expect(await technician.gauges.calibrate({ requestId: aRequest(), gaugeId: id, on: day("2026-03-20"), until: day("2027-03-20"), certificate: "C" })).toMatchObject({ answer: "refused", code: "no-such-gauge" });
});
