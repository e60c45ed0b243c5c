"use client";
import { judgeTest } from "@hangrail/rules/bench-test";
import { day } from "@hangrail/rules/calendar";
import { useMutation } from "@tanstack/react-query";
import { useSearchParams } from "next/navigation";
import { useRef, useState } from "react";
import { partTitle, phaseWords } from "../../../../../bench-test-words.ts";
import { ActForm, textOf } from "../../../../../components/act-form.tsx";
import { Choices, TextField } from "../../../../../components/field.tsx";
import { useAfterAct } from "../../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../../components/use-request-id.ts";
import { useWho } from "../../../../../components/who.tsx";
import { countText } from "../../../../../format.ts";
import { useTRPC } from "../../../../../trpc/client.ts";
import { orderOfWork, WorkOrderTick } from "../work-order-tick.tsx";
import type { RecordedTest } from "./bench-test.tsx";
import { ChooseGauges } from "./choose-gauges.tsx";
import { enterToNext } from "./enter-to-next.ts";
import { PartEntries } from "./part-entries.tsx";
import { EntriesProvider, type TestEntries } from "./test-context.ts";
import { TestVerdict } from "./test-verdict.tsx";
import { firstGauge, readTest, type Chosen, type Pasted, type TestForm, type Typed } from "./typed-test.ts";

const phases = (["as-found", "as-left"] as const).map((value) => ({ value, label: phaseWords(value) }));

type EnterTestProps = { form: TestForm; onRecorded: (test: RecordedTest) => void };

/** Enters a test, judged as it is typed by the rules that judge the record. What was typed stays until it is recorded. */
export function EnterTest({ form, onRecorded }: EnterTestProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { site } = useWho();
  const { requestId, renew } = useRequestId();
  const named = useSearchParams().get("order");
  const order = orderOfWork(form.orders, named);
  const [belongs, setBelongs] = useState(true);
  const [phase, setPhase] = useState<RecordedTest["phase"] | null>(null);
  const [typed, setTyped] = useState<Typed>({});
  const [pasted, setPasted] = useState<Pasted>({});
  // Chosen once: a gauge calibrated meanwhile must not take the place of the one in the technician's hand.
  const [chosen, setChosen] = useState<Chosen>(() => ({ pressure: firstGauge("pressure", form.gauges), effort: firstGauge("effort", form.gauges), master: firstGauge("master", form.gauges) }));
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [tried, setTried] = useState(false);
  const box = useRef<HTMLDivElement>(null);

  const read = readTest(form.parts, typed, pasted, chosen, site.units);
  const judged = judgeTest(form.parts, read.readings, form.gauges, day(form.today));
  const partOf = (component: string) => form.parts.find((part) => part.component === component);
  const nameOf = (component: string) => partTitle(partOf(component)?.role ?? null, partOf(component)?.serial ?? null);
  const entries: TestEntries = {
    units: site.units,
    typed,
    pasted,
    problemAt: (key) => ((tried || left.has(key)) ? (read.problems.get(key) ?? null) : null),
    problemNow: (key) => read.problems.get(key) ?? null,
    itemAt: (key) => judged.items.find(({ reading }) => reading !== null && read.keys[reading] === key) ?? null,
    type: (key, text) => setTyped((now) => ({ ...now, [key]: text })),
    paste: (key, curve) => setPasted((now) => (curve === null ? Object.fromEntries(Object.entries(now).filter(([other]) => other !== key)) : { ...now, [key]: curve })),
    leave: (key) => setLeft((now) => new Set([...now, key])),
  };

  const record = useMutation(
    trpc.benchTests.record.mutationOptions({
      onSuccess: (answer, { phase: recorded }) =>
        afterAct(answer, () => {
          if (answer.answer !== "done") return;
          renew();
          onRecorded({ phase: recorded, verdict: answer.verdict });
        }),
    }),
  );
  const nothing = read.readings.length === 0 && read.curves.length === 0;
  const submit = (data: FormData) => {
    setTried(true);
    if (read.problems.size > 0 || phase === null || nothing) {
      const [first] = read.problems.keys();
      const place = first === undefined ? `[name="phase"]` : `[data-entry="${CSS.escape(first)}"]`;
      box.current?.querySelector<HTMLElement>(place)?.focus();
      return;
    }
    record.mutate({
      requestId,
      setId: form.setId,
      phase,
      words: textOf(data, "words"),
      orderId: belongs && order?.takenBy != null ? order.id : null,
      readings: read.readings.slice(0, read.typedCount).map((reading) => ({ ...reading })),
      curves: [...read.curves],
    });
  };
  const wrong = !tried ? null : read.problems.size > 0 ? `${countText(read.problems.size, "entry is", "entries are")} not right yet: each says what is wrong with it.` : phase === null ? "Say at the top whether this is as found or as left." : nothing ? "Nothing is read yet: enter a reading first." : null;
  return (
    <section aria-labelledby="enter" className="grid gap-4">
      <h2 id="enter">Enter a test</h2>
      <EntriesProvider value={entries}>
        <ActForm act={phase === null ? "Record this test" : `Record this test ${phaseWords(phase).toLowerCase()}`} state={record} onSubmit={submit}>
          <div ref={box} className="grid gap-6" onKeyDown={enterToNext} role="presentation">
            <WorkOrderTick order={order} named={named} belongs={belongs} onBelongs={setBelongs} />
            <Choices
              label="When is it read?"
              hint="As found: before anything is opened or adjusted. As left: when the work is done; a release rests on it."
              name="phase"
              choices={phases}
              value={phase}
              onChoose={setPhase}
              error={tried && phase === null ? "choose one." : null}
            />
            <ChooseGauges form={form} chosen={chosen} onChoose={(purpose, id) => setChosen({ ...chosen, [purpose]: id })} />
            {form.parts.map((part) => (
              <PartEntries key={part.component} part={part} items={judged.items.filter(({ component }) => component === part.component)} />
            ))}
            <TestVerdict verdict={judged.verdict} items={judged.items} nameOf={nameOf} />
            <TextField label="In words" name="words" hint="What the figures do not say: noises, a stiff lever, what was adjusted." maxLength={1000} />
          </div>
          {wrong === null ? null : (
            <p role="alert" className="font-semibold text-danger">
              {wrong}
            </p>
          )}
        </ActForm>
      </EntriesProvider>
    </section>
  );
}
