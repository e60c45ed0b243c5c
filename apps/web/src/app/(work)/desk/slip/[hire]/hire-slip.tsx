"use client";
import { ROLES, type Role } from "@hangrail/rules/models";
import { useQuery } from "@tanstack/react-query";
import { ButtonLink } from "../../../../../components/button.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { Plate } from "../../../../../components/plate.tsx";
import { Slip } from "../../../../../components/slip.tsx";
import { Day, Instant } from "../../../../../components/when.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { gasWords } from "../../../../../desk-words.ts";
import { hirerPromise, paperCautions, preDiveChecks } from "../../../../../slip-words.ts";
import { cylinderText, depthText, divesText, instantText, temperatureText } from "../../../../../format.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import type { Outputs } from "../../../../../trpc/types.ts";
import { connectionWords, errorWords, positionWords } from "../../../../../words.ts";

type SlipData = Outputs["desk"]["slip"];

/** One hire on paper: whose, which sets with which components, for what, and the check before the dive. */
export function HireSlip({ hire }: { hire: string }) {
  const trpc = useTRPC();
  const { site } = useWho();
  const slip = useQuery(trpc.desk.slip.queryOptions({ hire }));
  if (slip.error !== null) {
    return (
      <Notice kind="stop" title="The slip could not be read" announce>
        <p>{errorWords(slip.error)}</p>
      </Notice>
    );
  }
  if (slip.data === undefined) return <p role="status">Being read…</p>;
  return (
    <>
      <h1 className="sr-only">Hire slip</h1>
      <div className="screen-only mb-6">
        <ButtonLink href="/desk">Back to the desk</ButtonLink>
      </div>
      <Slip
        title="Hire slip"
        source={`${slip.data.site}, handed out ${instantText(slip.data.outAt, site.timeZone)} by ${slip.data.outBy}. Hire ${slip.data.hire.slice(0, 8)}`}
        foot={
          <ul className="grid gap-1">
            {paperCautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        }
      >
        <div className="grid gap-5 print:gap-3">
          <Terms slip={slip.data} />
          <Sets slip={slip.data} />
          <Checks />
          <Signatures slip={slip.data} />
        </div>
      </Slip>
    </>
  );
}

function Terms({ slip }: { slip: SlipData }) {
  const { site } = useWho();
  const facts = [
    ["Hirer", slip.hirer ?? "Name erased"],
    ...(slip.contact === null ? [] : [["Phone or room", slip.contact] as const]),
    ["Planned", `${divesText(slip.dives)}${slip.teaching ? ", teaching" : ""}, to ${depthText(slip.depthM * 10, site.units)}`],
    ["Gas", gasWords(slip.o2Tenths)],
    ["Cylinder", `${connectionWords(slip.cylinderConnection)}, ${cylinderText(slip.cylinderBar * 100, site.units)}`],
    ["Water", temperatureText(slip.waterTenthsC, site.units)],
  ] as const;
  return (
    <div className="grid gap-4 sm:grid-cols-[1fr_auto] print:grid-cols-[1fr_auto]">
      <dl className="grid grid-cols-[auto_1fr] content-start gap-x-4 gap-y-1">
        {facts.map(([name, value]) => (
          <div key={name} className="contents">
            <dt className="text-soft">{name}</dt>
            <dd className="font-semibold">{value}</dd>
          </div>
        ))}
      </dl>
      <p className="w-fit rounded-xl border-2 border-edge p-4 text-center print:p-2">
        Back on
        <strong className="block text-2xl">
          <Day day={slip.backOn} />
        </strong>
      </p>
    </div>
  );
}

function Sets({ slip }: { slip: SlipData }) {
  return (
    <section aria-labelledby="slip-sets" className="grid gap-3">
      <h3 id="slip-sets">Sets</h3>
      <ul className="grid gap-3">
        {slip.sets.map((set) => (
          <li key={set.tag} className="grid gap-1 border-t border-hairline pt-2">
            <p className="text-xl">
              <Plate tag={set.tag} /> {set.back ? <span className="text-base">taken back</span> : null}
            </p>
            <ul className="grid gap-x-6 text-[0.95em] sm:grid-cols-2 print:grid-cols-2">
              {(set.parts ?? []).map((part) => (
                <li key={`${part.role} ${part.serial}`}>
                  {isRole(part.role) ? positionWords(part.role) : part.role}: {part.model}, <span className="font-plate">{part.serial}</span>
                </li>
              ))}
            </ul>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Checks() {
  return (
    <section aria-labelledby="slip-checks">
      <h3 id="slip-checks">Before the dive, together with the hirer</h3>
      <ul className="mt-2 grid gap-1">
        {preDiveChecks.map((check) => (
          <li key={check} className="grid grid-cols-[auto_1fr] gap-3">
            <span aria-hidden="true" className="mt-[0.2em] size-[1.1em] border-2 border-edge" />
            {check}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Signatures({ slip }: { slip: SlipData }) {
  const { site } = useWho();
  return (
    <section aria-label="Signatures" className="grid gap-6 break-inside-avoid">
      <p>{hirerPromise}</p>
      <div className="grid gap-8 pt-6 sm:grid-cols-2 print:grid-cols-2">
        <p className="border-t-2 border-edge pt-1">Hirer: {slip.hirer ?? ""}</p>
        <p className="border-t-2 border-edge pt-1">
          For the centre: {slip.outBy}, <Instant at={slip.outAt} timeZone={site.timeZone} />
        </p>
      </div>
    </section>
  );
}

function isRole(text: string): text is Role {
  return ROLES.some((role) => role === text);
}
