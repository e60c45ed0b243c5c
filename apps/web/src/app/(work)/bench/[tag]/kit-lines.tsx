"use client";
import { Button } from "../../../../components/button.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { Link } from "../../../../components/link.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { newRequestId } from "../../../../components/use-request-id.ts";
import { partName } from "../../../../desk-words.ts";
import { countText, listText, numberText } from "../../../../format.ts";
import type { BenchSetView } from "./bench-set.tsx";
import { askedKits, lotsOf, nameOf, shortKits, withoutList, type AskedKit, type ForService, type FurtherKit } from "./kit-entry.ts";

type Part = BenchSetView["parts"][number];

type KitLinesProps = {
  parts: readonly Part[];
  answer: ForService;
  /** The components ticked, where the work is a service; else none. */
  serviced: readonly string[];
  /** The components ticked, whatever the work is. */
  ticked: readonly string[];
  typed: ReadonlyMap<string, string>;
  onType: (typed: ReadonlyMap<string, string>) => void;
  further: readonly FurtherKit[];
  onFurther: (further: readonly FurtherKit[]) => void;
};

/** Each kit the models' lists ask for, prefilled but for a lot that nobody can guess; and what was used beside them. */
export function KitLines({ parts, answer, serviced, ticked, typed, onType, further, onFurther }: KitLinesProps) {
  const asked = askedKits(answer, serviced);
  const unlisted = withoutList(answer, parts, serviced);
  const short = shortKits([...asked, ...further.map(({ kit, quantity }) => ({ kit, quantity: Number(quantity) || 0 }))], answer.shelf);
  const lots = lotsOf(asked, typed, answer.shelf);
  const partOf = (id: string) => parts.find((part) => part.id === id);
  return (
    <fieldset className="grid gap-4">
      <legend className="mb-1 font-semibold">Kits used</legend>
      <p className="text-soft">Once opened, old seals do not go back: a service takes every kit of its model&apos;s list, and each comes off the shelf with its lot.</p>
      {unlisted.map((id) => (
        <NoList key={id} part={partOf(id)} />
      ))}
      {parts
        .filter(({ id }) => serviced.includes(id) && !unlisted.includes(id))
        .map((part) => {
          const lines = asked.filter(({ component }) => component === part.id);
          return (
            <div key={part.id} className="grid gap-3">
              <p className="font-semibold first-letter:uppercase">{partName(part)}</p>
              {lines.length === 0 ? <p>No kit is on its list.</p> : lines.map((line) => <KitLine key={line.key} line={line} lot={lots.get(line.key) ?? ""} answer={answer} part={part} onLot={(lot) => onType(new Map([...[...typed].filter(([key]) => key !== line.key), [line.key, lot]]))} />)}
            </div>
          );
        })}
      {further.map((line, at) => (
        <FurtherLine
          key={line.key}
          line={line}
          at={at}
          parts={parts.filter(({ id }) => ticked.includes(id))}
          answer={answer}
          onChange={(next) => onFurther(further.map((one) => (one.key === line.key ? { ...one, ...next } : one)))}
          onRemove={() => onFurther(further.filter(({ key }) => key !== line.key))}
        />
      ))}
      <div>
        <Button onClick={() => onFurther([...further, { key: newRequestId(), component: "", kit: "", quantity: "1", lot: "" }])}>A further kit was used</Button>
      </div>
      {short.length === 0 ? null : (
        <Notice kind="stop" title="Not enough on the shelf">
          <p>
            {listText(short.map(({ name, wanted, stock }) => `${name}: ${numberText(wanted)} wanted, ${numberText(stock)} there`))}. If more lie there, enter what came or count them under <Link href="/kits">Kits</Link>.
          </p>
        </Notice>
      )}
    </fieldset>
  );
}

function NoList({ part }: { part: Part | undefined }) {
  if (part === undefined) return null;
  return (
    <Notice kind="stop" title={`No kit list for ${part.maker} ${part.model}`}>
      <p>
        Nobody has recorded which kits a service of it takes, so it cannot be recorded. A technician enters the list from the manual <Link href={`/models/${part.modelId}`}>on the model&apos;s page</Link>.
      </p>
    </Notice>
  );
}

function KitLine({ line, lot, answer, part, onLot }: { line: AskedKit; lot: string; answer: ForService; part: Part; onLot: (lot: string) => void }) {
  const name = nameOf(answer.shelf, line.kit);
  const list = `lots-${line.kit}`;
  return (
    <>
      <Field label={`Lot of ${countText(line.quantity, name, name)}`} aria-label={`Lot of ${name} for the ${partName(part)}`} hint={shelfWords(answer, line.kit)} list={list} required maxLength={60} value={lot} onChange={(event) => onLot(event.target.value)} />
      <LotList id={list} answer={answer} kit={line.kit} />
    </>
  );
}

type FurtherLineProps = { line: FurtherKit; at: number; parts: readonly Part[]; answer: ForService; onChange: (next: Partial<FurtherKit>) => void; onRemove: () => void };

function FurtherLine({ line, at, parts, answer, onChange, onRemove }: FurtherLineProps) {
  const list = `lots-further-${at}`;
  return (
    <fieldset className="grid gap-4 border-s-4 border-edge ps-4">
      <legend className="font-semibold">Further kit {at + 1}</legend>
      <SelectField label="Kit" hint={line.kit === "" ? undefined : shelfWords(answer, line.kit)} value={line.kit} onChange={(event) => onChange({ kit: event.target.value })}>
        <option value="">choose…</option>
        {answer.shelf.map((kit) => (
          <option key={kit.id} value={kit.id}>
            {kit.name}
          </option>
        ))}
      </SelectField>
      <SelectField label="On which component?" hint={parts.length === 0 ? "Tick the components above first." : undefined} value={line.component} onChange={(event) => onChange({ component: event.target.value })}>
        <option value="">choose…</option>
        {parts.map((part) => (
          <option key={part.id} value={part.id}>
            {partName(part)}
          </option>
        ))}
      </SelectField>
      <Field label="How many?" inputMode="numeric" required maxLength={3} value={line.quantity} onChange={(event) => onChange({ quantity: event.target.value })} />
      <Field label="Lot" list={list} required maxLength={60} value={line.lot} onChange={(event) => onChange({ lot: event.target.value })} />
      <LotList id={list} answer={answer} kit={line.kit} />
      <div>
        <Button tone="quiet" onClick={onRemove}>
          Leave this kit out
        </Button>
      </div>
    </fieldset>
  );
}

function LotList({ id, answer, kit }: { id: string; answer: ForService; kit: string }) {
  return (
    <datalist id={id}>
      {(answer.shelf.find((one) => one.id === kit)?.lots ?? []).map(({ lot }) => (
        <option key={lot} value={lot} />
      ))}
    </datalist>
  );
}

function shelfWords(answer: ForService, kit: string): string {
  const shelf = answer.shelf.find((one) => one.id === kit);
  if (shelf === undefined) return "Not on the shelf.";
  const lots = shelf.lots.slice(0, 4).map(({ lot, quantity }) => `lot ${lot} (${numberText(quantity)})`);
  return `On the shelf: ${numberText(shelf.stock)}${lots.length === 0 ? "" : `; ${listText(lots)}`}.`;
}
