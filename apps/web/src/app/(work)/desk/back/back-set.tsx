"use client";
import { ACCIDENT, faultOf, faultsAt, isFaultCode, opensEvidenceLock } from "@hangrail/rules/faults";
import { kindIn } from "@hangrail/rules/models";
import { Button } from "../../../../components/button.tsx";
import { Choices, Field, SelectField, TextField, Tick } from "../../../../components/field.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { useWho } from "../../../../components/who.tsx";
import { faultChoiceWords, plannedWords, waterKinds, waterWords } from "../../../../back-words.ts";
import { backWords, partName } from "../../../../desk-words.ts";
import { Stepper } from "../stepper.tsx";
import { gapOf, type BackEntry } from "./back-entry.ts";
import type { OutSet } from "./take-back.tsx";

type BackSetProps = { set: OutSet; entry: BackEntry; hirer: string | null; onChange: (entry: BackEntry) => void; onLeave: () => void };

/** One set that came back: dives, water, whole or not, any problem. */
export function BackSet({ set, entry, hirer, onChange, onLeave }: BackSetProps) {
  const { today } = useWho();
  const change = (some: Partial<BackEntry>) => onChange({ ...entry, ...some });
  const late = set.out.backOn < today;
  return (
    <section aria-label={`Set ${set.tag}`} className="sheet grid gap-5">
      <div className="flex flex-wrap items-center gap-x-5 gap-y-3">
        <h2 className="text-3xl">
          <Plate tag={set.tag} />
        </h2>
        <p className="min-w-0">
          {hirer === null ? null : <span className="block font-semibold">{hirer}</span>}
          <span className={`inline-flex items-center gap-2 rounded-lg ${late ? "tinted px-2.5 py-1 font-bold" : ""}`} data-tone={late ? "warn" : undefined}>
            {late ? <Icon name="triangle" size={20} /> : null}
            {backWords(today, set.out.backOn)}, {plannedWords(set.out.plannedDives)}
          </span>
        </p>
        <span className="ms-auto">
          <Button aria-label={`Not this one: ${set.tag} stays out of this return`} onClick={onLeave}>
            Not this one
          </Button>
        </span>
      </div>
      <Choices
        label="Water"
        name={`water-${set.setId}`}
        choices={waterKinds.map((value) => ({ value, label: waterWords(value) }))}
        value={entry.water}
        onChoose={(water) => change({ water, dives: water === "none" ? 0 : entry.water === "none" ? set.out.plannedDives : entry.dives })}
      />
      {entry.water === "none" ? (
        <p>It stayed dry, so no dive is counted.</p>
      ) : (
        <div className="flex flex-wrap items-end gap-6">
          <Stepper label="Dives" value={entry.dives} least={0} most={99} unsaid="?" from={set.out.plannedDives} onStep={(dives) => change({ dives })} />
          <Tick label="Not said: count the plan" checked={entry.dives === null} onChange={(event) => change({ dives: event.target.checked ? null : set.out.plannedDives })} />
          <div className="w-48">
            <Field label="Hours" inputMode="decimal" value={entry.hours} error={gapOf(entry) === "hours-not-a-number" ? "write hours such as 1.5." : null} onChange={(event) => change({ hours: event.target.value })} />
          </div>
        </div>
      )}
      <Missing set={set} entry={entry} change={change} />
      <Choices
        label="Any problem?"
        hint="Ask: free flow, hard or wet breathing, the gauge, a fall, water inside?"
        name={`problem-${set.setId}`}
        size="wash"
        choices={[
          { value: "no", label: "No problem" },
          { value: "yes", label: "Yes, a problem" },
        ]}
        value={entry.problem}
        onChoose={(problem) => change({ problem })}
      />
      {entry.problem === "yes" ? <Problem set={set} entry={entry} change={change} /> : null}
    </section>
  );
}

type PartProps = { set: OutSet; entry: BackEntry; change: (some: Partial<BackEntry>) => void };

function Problem({ set, entry, change }: PartProps) {
  const part = set.parts.find((one) => one.id === entry.component);
  // Whoever finds no line that fits is not held up: the bench will find the right one.
  const lines = part === undefined ? faultsAt("set") : [...faultsAt(kindIn(part.role)), faultOf("GN-04")];
  return (
    <div className="grid gap-5 border-s-4 border-edge ps-4">
      <SelectField label="Where" value={entry.component ?? ""} onChange={(event) => change({ component: event.target.value || null, fault: "" })}>
        <option value="">The set as a whole</option>
        {set.parts.map((one) => (
          <option key={one.id} value={one.id}>
            {partName(one)}
          </option>
        ))}
      </SelectField>
      <SelectField label="What was it?" hint="The nearest line will do, or that nobody has looked yet; the bench finds out the rest." value={entry.fault} onChange={(event) => change({ fault: isFaultCode(event.target.value) ? event.target.value : "" })}>
        <option value="">Choose the nearest</option>
        {lines.map((line) => (
          <option key={line.code} value={line.code}>
            {faultChoiceWords(line)}
          </option>
        ))}
      </SelectField>
      <TextField label="In the hirer's words" maxLength={1000} value={entry.words} onChange={(event) => change({ words: event.target.value })} />
      {isFaultCode(entry.fault) && opensEvidenceLock(entry.fault) ? (
        <Notice kind="stop" title="This seals the set as evidence">
          <p>Leave it exactly as it is: do not rinse, open, purge or take anything off it. Put it aside and call the manager now.</p>
        </Notice>
      ) : (
        <p>The set is tagged out until the bench has looked at it.</p>
      )}
    </div>
  );
}

function Missing({ set, entry, change }: PartProps) {
  if (entry.problem === "yes" && entry.fault === ACCIDENT) return null;
  const toggle = (id: string, isMissing: boolean) => change({ missing: isMissing ? [...entry.missing, id] : entry.missing.filter((one) => one !== id) });
  return (
    <details open={entry.missing.length > 0 || undefined}>
      <summary className="min-h-12 py-3 font-semibold">Is anything missing from it? Tick what is not there</summary>
      <div className="mt-2 grid gap-4 sm:grid-cols-2">
        {set.parts.map((part) => (
          <Tick key={part.id} label={`${partName(part)} is missing`} checked={entry.missing.includes(part.id)} onChange={(event) => toggle(part.id, event.target.checked)} />
        ))}
      </div>
    </details>
  );
}
