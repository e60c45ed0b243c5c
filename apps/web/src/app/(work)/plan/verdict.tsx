"use client";
import { Notice } from "../../../components/notice.tsx";
import { Link } from "../../../components/link.tsx";
import { countText } from "../../../format.ts";
import { gapText, kindText, reliefText, violationText, type PlanNames } from "./plan-words.ts";
import type { NoPlan, PlanInWork, Relief, Work } from "./use-plan.ts";
import { weekAndDay } from "./weeks.ts";
import type { Outlook } from "./plan-types.ts";

/** What became of the search: a plan and how good it is, or what is short where, and the cheapest relief. */
export function Verdict({ outlook, names, state }: { outlook: Outlook; names: PlanNames; state: PlanInWork }) {
  const { work, noPlan } = state;
  return (
    <div className="mb-8 grid gap-4">
      {noPlan === null ? null : <WhyNone noPlan={noPlan} names={names} />}
      {work === null ? null : <Outcome outlook={outlook} names={names} work={work} />}
    </div>
  );
}

function Outcome({ outlook, names, work }: { outlook: Outlook; names: PlanNames; work: Work }) {
  const { plan, proof } = work;
  const going = plan.lines.filter(({ week }) => week !== null).length;
  const short = shortWeeks(plan.cover, outlook);
  const { undone, late } = plan.score;
  const left = [undone === 0 ? null : `${countText(undone, "set")} that ${undone === 1 ? "falls" : "fall"} due ${undone === 1 ? "finds" : "find"} no week`, late === 0 ? null : `services come ${countText(late, "week")} late, all counted together`].filter((part) => part !== null);
  const good = proof === null ? "Moved by hand: nothing is proven of it now." : gapText(proof.gap);
  return short.length === 0 ? (
    <Notice kind={left.length === 0 ? "ok" : "warn"} title={`Every booking has a set; ${countText(going, "set")} ${going === 1 ? "goes" : "go"} to the bench`} announce>
      <p>{good}</p>
      {left.length === 0 ? null : <p>But {left.join(", and ")}. Each such set says below what stands in its way.</p>}
    </Notice>
  ) : (
    <Notice kind="stop" title={`${countText(plan.score.shortage, "booking")} without a set`} announce>
      <p>{work.leastShort ? "It is proven that no plan covers more of them." : proof === null ? good : "No better plan was found in the time."}</p>
      <ul className="my-2 list-disc ps-5">
        {short.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <ReliefList relief={work.relief} names={names} />
      {work.leastShort || proof === null ? null : <p>{gapText(proof.gap)}</p>}
      {left.length === 0 ? null : <p>Besides, {left.join(", and ")}.</p>}
    </Notice>
  );
}

/** "Week 32 (9 Aug): 2 sets short of 14 booked, yoke (A-clamp)". */
function shortWeeks(cover: Work["plan"]["cover"], { weeks, kinds }: Outlook): string[] {
  return weeks.flatMap((monday, at) =>
    cover.flatMap(({ kind, short, booked }) => {
      const sets = short[at] ?? 0;
      const found = kinds.find(({ id }) => id === kind);
      return sets === 0 ? [] : [`${weekAndDay(monday).replace(/^w/, "W")}: ${countText(sets, "set")} short of ${booked[at] ?? 0} booked${found === undefined ? "" : `, ${kindText(found)}`}`];
    }),
  );
}

/** The cheapest that would help, as far as it was found. */
export function ReliefList({ relief, names }: { relief: Relief; names: PlanNames }) {
  if (relief === null || relief.items.length === 0) return <p>What would relieve it was not found in the time. Work it out again to have it looked for.</p>;
  return (
    <>
      <p className="font-semibold">The cheapest relief that would cover them all:</p>
      <ul className="my-1 list-disc ps-5">
        {relief.items.map((item) => (
          <li key={JSON.stringify(item)}>{reliefText(item, names)}</li>
        ))}
      </ul>
    </>
  );
}

function WhyNone({ noPlan, names }: { noPlan: NoPlan; names: PlanNames }) {
  if (noPlan.answer === "no-problem") {
    return (
      <Notice kind="stop" title="There is no plan: something recorded cannot be right" announce>
        <ul className="list-disc ps-5">
          {noPlan.faults.slice(0, 6).map(({ code, at }) => (
            <li key={`${code} ${at}`}>
              {at}: {code === "not-a-count" || code === "not-every-week" ? "no whole number where one belongs" : code === "named-twice" ? "named twice" : "named, but not there"}
            </li>
          ))}
        </ul>
        <p>
          Look at the hours and the bookings; then tell whoever looks after this server. <Link href="/plan/hours">Hours</Link>
        </p>
      </Notice>
    );
  }
  return (
    <Notice kind="stop" title="No plan keeps all that you fixed" announce>
      <ul className="list-disc ps-5">
        {noPlan.violations.map((one) => (
          <li key={JSON.stringify(one)}>{violationText(one, names)}</li>
        ))}
      </ul>
      {noPlan.relief === null ? <p>Free one of these sets, or fix it in another week.</p> : <ReliefList relief={noPlan.relief} names={names} />}
    </Notice>
  );
}
