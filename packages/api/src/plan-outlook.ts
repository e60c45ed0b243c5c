/** What has become of the accepted plan, and what the kit room has not told yet. Pure. */
import type { PlanGround } from "./plan-problem-of.ts";
import type { AcceptedLine, AcceptedPlan, MissingFact } from "./plan-view.ts";
import { weekOf } from "./plan-facts.ts";

/** The newest accepted plan with what happened since; a set counts as late once it falls due before its week. */
export function acceptedView({ facts, planned }: PlanGround): AcceptedPlan | null {
  const { accepted } = facts;
  if (accepted === null) return null;
  const dueWeeks = new Map(planned.map(({ id, dueWeek }) => [id, dueWeek]));
  return {
    id: accepted.id, fromOn: accepted.fromOn, weeks: accepted.weeks, acceptedAt: accepted.acceptedAt, acceptedBy: accepted.acceptedBy, words: accepted.words,
    total: accepted.cost / 1000,
    gap: accepted.gapPpm / 1e6,
    lines: accepted.lines.map((line): AcceptedLine => {
      const due = dueWeeks.get(line.setId);
      return {
        setId: line.setId, tag: line.tag, weekOn: line.weekOn, work: line.kind, locked: line.locked,
        why: line.why.why as AcceptedLine["why"],
        order: { id: line.order, state: line.state },
        since: line.since,
        nowLate: line.state !== "done" && line.state !== "dropped" && due !== undefined && due < weekOf(facts.weeks, line.weekOn),
      };
    }),
  };
}

export function missingFacts({ facts, planned, technicians, kinds }: PlanGround): readonly MissingFact[] {
  const missing: MissingFact[] = [];
  const until = facts.weeks.at(-1)!;
  if (technicians.every(({ weeks }) => weeks.every(({ minutes }) => minutes === 0))) missing.push({ missing: "bench-hours" });
  if (kinds.length === 0) missing.push({ missing: "bookings" });
  const serviced = facts.models.filter(({ hasLimits }) => hasLimits);
  const named = (models: typeof serviced) => models.map(({ name }) => name).sort();
  const untimed = named(serviced.filter(({ serviceMinutes }) => serviceMinutes === null));
  const unlisted = named(serviced.filter(({ kits }) => kits === null));
  if (untimed.length > 0) missing.push({ missing: "bench-minutes", models: untimed });
  if (unlisted.length > 0) missing.push({ missing: "kit-list", models: unlisted });
  const used = new Set(planned.flatMap(({ kits }) => kits.map(({ kit }) => kit)));
  const undated = facts.kits.filter(({ id, leadDays }) => used.has(id) && leadDays === null).map(({ maker, name }) => `${maker} ${name}`);
  if (undated.length > 0) missing.push({ missing: "lead-time", kits: undated });
  const makers = [...new Set(planned.flatMap(({ byMaker }) => byMaker.map(({ maker }) => maker)))].sort();
  const alone = makers.filter((maker) => !technicians.some(({ authorisations }) => authorisations.some((one) => one.maker === maker && one.from <= until)));
  if (alone.length > 0) missing.push({ missing: "authorisation", makers: alone });
  return missing;
}
