"use client";
import { FAULTS, type FaultCode } from "@hangrail/rules/faults";
import { MODEL_KINDS, type ModelKind } from "@hangrail/rules/models";
import { Field, SelectField } from "../../../components/field.tsx";
import { kindWords } from "../models/limits-words.ts";
import { WATERS, type About } from "./filter.ts";
import { useAbout } from "./use-about.ts";

const waterWords = { sea: "sea", fresh: "fresh water", pool: "pool" } as const;

type Part = "code" | "water" | "count";

/** What the figures are about. Each choice is asked at once. What a page does not ask is left out, also when the address still says it. */
export function Question({ without = [] }: { without?: readonly Part[] }) {
  const { about, choices, ask } = useAbout();
  const models = choices.models.filter((model) => about.kind === null || model.kind === about.kind);
  const makers = [...new Set(choices.models.map((model) => model.maker))].sort();
  const asks = (part: Part) => !without.includes(part);
  const narrowed = [about.kind, about.modelId, about.maker, asks("water") ? about.water : null, asks("code") ? about.code : null].some((one) => one !== null);
  const month = (key: "from" | "until", value: string) => /^\d{4}-\d{2}$/.test(value) && ask({ [key]: value });
  return (
    <form method="post" aria-label="What the figures are about" className="screen-only mb-8" onSubmit={(event) => event.preventDefault()}>
      <div className="grid gap-4 sm:grid-cols-2 lg:grid-cols-4">
        <Field key={`from-${about.from}`} label="From the month" type="month" required defaultValue={about.from} max={about.until} onBlur={(event) => month("from", event.target.value)} />
        <Field key={`until-${about.until}`} label="Until the month" type="month" required defaultValue={about.until} min={about.from} onBlur={(event) => month("until", event.target.value)} />
        {!asks("count") ? null : (
          <SelectField label="Faults counted" value={about.count} onChange={(event) => ask({ count: event.target.value as About["count"] })}>
            <option value="confirmed">confirmed ones</option>
            <option value="reported">all reported</option>
          </SelectField>
        )}
        {choices.sites.length < 2 ? null : (
          <SelectField label="Sites" value={about.sites} onChange={(event) => ask({ sites: event.target.value })}>
            <option value="here">this site</option>
            <option value="mine">all sites of mine</option>
            {choices.sites.map((site) => (
              <option key={site.id} value={site.id}>
                {site.name}
              </option>
            ))}
          </SelectField>
        )}
      </div>
      <details className="mt-2" open={narrowed || undefined}>
        <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">{asks("water") ? "Only some parts, water or faults" : "Only some parts"}</summary>
        <div className="mt-2 grid gap-4 sm:grid-cols-2 lg:grid-cols-4">
          <SelectField label="Kind of part" value={about.kind ?? ""} onChange={(event) => ask({ kind: (event.target.value || null) as ModelKind | null, modelId: null })}>
            <option value="">every kind</option>
            {MODEL_KINDS.map((kind) => (
              <option key={kind} value={kind}>
                {kindWords(kind)}
              </option>
            ))}
          </SelectField>
          <SelectField label="Model" value={about.modelId ?? ""} onChange={(event) => ask({ modelId: event.target.value || null })}>
            <option value="">every model</option>
            {models.map((model) => (
              <option key={model.id} value={model.id}>
                {model.maker} {model.name}
              </option>
            ))}
          </SelectField>
          <SelectField label="Maker" value={about.maker ?? ""} onChange={(event) => ask({ maker: event.target.value || null })}>
            <option value="">every maker</option>
            {makers.map((maker) => (
              <option key={maker} value={maker}>
                {maker}
              </option>
            ))}
          </SelectField>
          {!asks("water") ? null : (
            <SelectField label="Water" value={about.water ?? ""} onChange={(event) => ask({ water: WATERS.find((water) => water === event.target.value) ?? null })}>
              <option value="">any water</option>
              {WATERS.map((water) => (
                <option key={water} value={water}>
                  {waterWords[water]}
                </option>
              ))}
            </SelectField>
          )}
          {!asks("code") ? null : (
            <SelectField label="Fault" value={about.code ?? ""} onChange={(event) => ask({ code: (event.target.value || null) as FaultCode | null })}>
              <option value="">every fault</option>
              {FAULTS.map((fault) => (
                <option key={fault.code} value={fault.code}>
                  {fault.code}: {fault.words}
                </option>
              ))}
            </SelectField>
          )}
        </div>
      </details>
      {about.water === null || !asks("water") ? null : <p className="mt-3 text-soft">Only faults that came to light at the return of a hire in that water are counted here; what the bench found later belongs to no one water.</p>}
    </form>
  );
}
