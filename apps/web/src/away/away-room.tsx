"use client";
import { useState } from "react";
import { keptWords, notTakenWords } from "../away-words.ts";
import { Choices, Tick } from "../components/field.tsx";
import { Notice } from "../components/notice.tsx";
import { Plate } from "../components/plate.tsx";
import { tidyTag } from "../components/scan-buffer.ts";
import { ScanField } from "../components/scan-field.tsx";
import { newRequestId } from "../components/use-request-id.ts";
import { Instant } from "../components/when.tsx";
import { countText, instantText } from "../format.ts";
import type { Picture } from "./picture.ts";
import { placeOf, takeScan, type Scan, type Step } from "./scans.ts";
import { scanStore } from "./store.ts";

const steps = [
  { value: "in", label: "Into the bath" },
  { value: "out", label: "Out of the bath" },
  { value: "dry", label: "Rinsed, purged and dry" },
] as const;
type StepName = Step["step"];

const three = [
  { name: "rinsed", label: "Rinsed in drinking water" },
  { name: "purgedUnderPressure", label: "Purged under pressure" },
  { name: "dry", label: "Dry, inside and out" },
] as const;
const nothingYet = { rinsed: false, purgedUnderPressure: false, dry: false };

/** The wash room without a network: what is being done, one scan a set, each kept until it can be sent. */
export function AwayRoom({ picture, scans }: { picture: Picture; scans: readonly Scan[] }) {
  const [step, setStep] = useState<StepName>("in");
  const good = picture.baths.filter(({ expired }) => !expired);
  const [chosen, setChosen] = useState<string | null>(good.length === 1 ? (good[0]?.id ?? null) : null);
  const [ticked, setTicked] = useState(nothingYet);
  const [heard, setHeard] = useState<{ words: string; refused: boolean } | null>(null);
  const [busy, setBusy] = useState(false);
  const bath = good.find(({ id }) => id === chosen) ?? null;
  const says: Step | null = step === "dry" ? { step, ...ticked } : step === "out" ? { step } : bath === null ? null : { step, bathId: bath.id, bath: bath.label };

  const take = async (tag: string) => {
    const labelled = step === "in" ? good.find(({ label }) => tidyTag(label) === tag) : undefined;
    if (labelled !== undefined) {
      setChosen(labelled.id);
      return setHeard({ words: `Bath: ${labelled.label}.`, refused: false });
    }
    // A second scan before the first is on the disk would be judged without it.
    if (busy) return setHeard({ words: `${tag} was not taken: the scan before it is still being kept. Scan it again.`, refused: true });
    setBusy(true);
    try {
      const found = takeScan(picture, await scanStore.all(), tag, says, { requestId: newRequestId(), scannedAt: new Date().toISOString() });
      if ("not" in found) return setHeard({ words: notTakenWords(found.not, tag), refused: true });
      await scanStore.add(found.taken);
      setHeard({ words: keptWords(found.taken), refused: false });
    } catch {
      setHeard({ words: `${tag} could not be kept on this tablet. Write it on paper.`, refused: true });
    } finally {
      setBusy(false);
    }
  };
  const choose = (next: StepName) => {
    setStep(next);
    // What was said of the sets before is not said of the next ones.
    setTicked(nothingYet);
    setHeard(null);
  };

  return (
    <div className="grid gap-6">
      <Choices label="What are you doing?" name="away-step" size="wash" value={step} choices={steps} onChoose={choose} />
      {step !== "in" ? null : good.length === 0 ? (
        <Notice kind="warn" title="No bath">
          <p>No bath stood that was still good when the network went away. Mix one when it is back.</p>
        </Notice>
      ) : (
        <Choices
          label="Which bath?"
          name="away-bath"
          size="wash"
          value={chosen}
          choices={good.map((one) => ({
            value: one.id,
            label: (
              <>
                {one.label} <span className="block font-normal">good until {instantText(one.expiresAt, picture.timeZone)}</span>
              </>
            ),
          }))}
          onChoose={setChosen}
        />
      )}
      {step !== "dry" ? null : (
        <fieldset>
          <legend className="mb-2 font-semibold">Done with each set you scan</legend>
          <div className="grid grid-cols-[repeat(auto-fit,minmax(min(15rem,100%),1fr))] gap-4">
            {three.map(({ name, label }) => (
              <Tick key={name} size="wash" label={label} checked={ticked[name]} onChange={(event) => setTicked({ ...ticked, [name]: event.target.checked })} />
            ))}
          </div>
        </fieldset>
      )}
      <ScanField size="desk" label={step === "in" ? "Scan each set, or the bath's label" : "Scan each set"} act="Keep" onScan={(tag) => void take(tag)} heard={heard?.words ?? null} refused={heard?.refused ?? false} />
      <Believed picture={picture} scans={scans} />
    </div>
  );
}

const places = [
  { at: "to-clean", title: "To clean" },
  { at: "in-bath", title: "In the bath" },
  { at: "drying", title: "Drying" },
  { at: "said-dry", title: "Said to be dry, not recorded yet" },
] as const;

/** Where the sets are by what this tablet last saw and by its own scans since. */
function Believed({ picture, scans }: { picture: Picture; scans: readonly Scan[] }) {
  const tags = [...new Set([...picture.toClean, ...picture.runs.flatMap(({ sets }) => sets)].map(({ tag }) => tag).concat(scans.map(({ tag }) => tag)))].sort();
  return (
    <section aria-labelledby="last-seen" className="grid gap-4">
      <h2 id="last-seen">
        As last seen at <Instant at={picture.at} timeZone={picture.timeZone} />, with your scans since
      </h2>
      <dl className="grid gap-4">
        {places.map(({ at, title }) => {
          const here = tags.filter((tag) => placeOf(picture, scans, tag).at === at);
          return (
            <div key={at}>
              <dt className="font-semibold">
                {title}: {countText(here.length, "set")}
              </dt>
              <dd className="flex flex-wrap gap-3 text-xl">
                {here.map((tag) => (
                  <Plate key={tag} tag={tag} />
                ))}
              </dd>
            </div>
          );
        })}
      </dl>
    </section>
  );
}
