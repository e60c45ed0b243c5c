"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { DayField, Field, SelectField, TextField, Tick } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useWho } from "../../../components/who.tsx";
import { countText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { unreadText, whyWords, type Unread as UnreadRange } from "./notice-words.ts";

type About = { modelId: string; every: boolean; serials: string };

/** A notice as it was published. What it would hold is shown before it is recorded. */
export function PublishNotice() {
  const trpc = useTRPC();
  const { today } = useWho();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const models = useQuery(trpc.models.list.queryOptions());
  const [about, setAbout] = useState<readonly About[]>([{ modelId: "", every: false, serials: "" }]);
  const [form, setForm] = useState(0);
  const [looked, setLooked] = useState<readonly About[] | null>(null);
  const named = about.filter((one) => one.modelId !== "" && (one.every || one.serials.trim() !== ""));
  const preview = useQuery({ ...trpc.notices.preview.queryOptions({ models: [...(looked ?? [])] }), enabled: looked !== null && looked.length > 0, retry: false });
  const publish = useMutation(
    trpc.notices.open.mutationOptions({
      onSuccess: (answer) => {
        if (answer.answer === "ranges-refused") return undefined;
        return afterAct(answer, () => {
          renew();
          setAbout([{ modelId: "", every: false, serials: "" }]);
          setLooked(null);
          setForm(form + 1);
        });
      },
    }),
  );
  const change = (at: number, next: Partial<About>) => setAbout(about.map((one, index) => (index === at ? { ...one, ...next } : one)));
  const submit = (data: FormData) =>
    publish.mutate({
      requestId,
      title: textOf(data, "title"),
      reference: textOf(data, "reference"),
      hazard: textOf(data, "hazard"),
      remedy: textOf(data, "remedy"),
      publishedOn: textOf(data, "publishedOn"),
      models: about.map(({ modelId, every, serials }) => ({ modelId, every, serials: every ? "" : serials })),
    });
  const done = publish.data?.answer === "done" ? `Recorded: ${countText(publish.data.components, "part")} matched, ${countText(publish.data.sets, "set")} held.` : null;
  return (
    <section aria-labelledby="publish" className="screen-only mt-10">
      <h2 id="publish" className="mb-4">
        Record a notice
      </h2>
      <ActForm key={form} act="Record the notice" state={publish} done={done} onSubmit={submit}>
        <Field label="Title" name="title" required maxLength={200} />
        <Field label="Its number or reference" name="reference" required maxLength={80} />
        <DayField label="Published" name="publishedOn" defaultValue={today} required />
        <TextField label="Hazard, as published" name="hazard" required maxLength={1000} />
        <TextField label="Remedy, as published" name="remedy" required maxLength={1000} />
        {about.map((one, at) => (
          <fieldset key={at} className="grid gap-3 border-s-4 border-hairline ps-4">
            <legend className="sr-only">Model {at + 1}</legend>
            <SelectField label={about.length === 1 ? "Model" : `Model ${at + 1}`} value={one.modelId} required onChange={(event) => change(at, { modelId: event.target.value })}>
              <option value="">choose…</option>
              {models.data?.map((model) => (
                <option key={model.id} value={model.id}>
                  {model.maker} {model.name}
                </option>
              ))}
            </SelectField>
            <Tick label="Every serial of this model" checked={one.every} onChange={(event) => change(at, { every: event.target.checked })} />
            {one.every ? null : (
              <TextField label="Serials" hint="As the notice prints them: single ones and ranges, parted by commas or lines, such as TD310200-TD310348" required value={one.serials} maxLength={4000} onChange={(event) => change(at, { serials: event.target.value })} />
            )}
          </fieldset>
        ))}
        <div className="flex flex-wrap gap-4">
          <Button onClick={() => setAbout([...about, { modelId: "", every: false, serials: "" }])} refusedBecause={about.length >= 20 ? "At most twenty models in one notice." : null}>
            One more model
          </Button>
          <Button onClick={() => setLooked(named)} refusedBecause={named.length === 0 ? "Choose a model and its serials first." : null}>
            What would it hold?
          </Button>
        </div>
        {looked === null || looked.length === 0 ? null : preview.error !== null ? (
          <Notice kind="stop" title="Not looked for" announce>
            <p>{errorWords(preview.error)}</p>
          </Notice>
        ) : preview.data === undefined ? (
          <p role="status">Being looked for…</p>
        ) : (
          preview.data.answer === "ranges-refused" ? (
          <Unread unread={preview.data.refused} />
          ) : (
          <Notice kind="info" title={preview.data.matches.length === 0 ? `None of ${countText(preview.data.looked, "part")} here` : `${countText(preview.data.matches.length, "part")} of ${preview.data.looked} here`} announce>
            <ul className="grid gap-1">
              {preview.data.matches.slice(0, 100).map((part) => (
                <li key={part.component} className="flex gap-2">
                  <Icon name={part.why === "near-miss" ? "info" : "octagon"} size={20} />
                  <span>
                    {part.set?.tag ?? "On the shelf"}
                    {part.set?.out == null ? "" : " (out now)"}: {part.model}, serial {part.serial ?? "unknown"}; {whyWords(part.why)}.
                  </span>
                </li>
              ))}
            </ul>
            {preview.data.elsewhere === 0 ? null : <p>And {countText(preview.data.elsewhere, "part")} at other sites.</p>}
          </Notice>
          )
        )}
        {publish.data?.answer === "ranges-refused" ? <Unread unread={publish.data.refused} /> : null}
      </ActForm>
    </section>
  );
}

function Unread({ unread }: { unread: readonly UnreadRange[] }) {
  return (
    <Notice kind="stop" title="Not recorded: these serials cannot be read" announce>
      <ul>
        {unread.map((one, at) => (
          <li key={at}>{unreadText(one)}</li>
        ))}
      </ul>
    </Notice>
  );
}
