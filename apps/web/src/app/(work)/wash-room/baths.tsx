"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Confirm } from "../../../components/confirm.tsx";
import { Countdown } from "../../../components/countdown.tsx";
import { Icon } from "../../../components/icon.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { numberText, volumeText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Bath } from "./queue.ts";

type BathsProps = { baths: readonly Bath[]; now: string; mayAct: boolean; onDone: (sentence: string) => void };

/** The baths that stand, each with its strength and how long it is good. */
export function Baths({ baths, now, mayAct, onDone }: BathsProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [asked, setAsked] = useState<Bath | null>(null);
  const empty = useMutation(
    trpc.washRoom.emptyBath.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          setAsked(null);
          onDone(`${asked?.label ?? "The bath"} is emptied.`);
        }),
    }),
  );
  return (
    <section aria-labelledby="baths" className="grid gap-4">
      <h2 id="baths" className="flex items-center gap-2">
        <Icon name="bath" /> Baths
      </h2>
      {baths.length === 0 ? <p>No bath stands. Mix one before the next wash.</p> : null}
      {baths.map((bath) => (
        <article key={bath.id} className="sheet grid gap-3" aria-label={`Bath ${bath.label}`}>
          <div className="flex flex-wrap items-center justify-between gap-3">
            <h3>{bath.label}</h3>
            <BathLife bath={bath} now={now} />
          </div>
          <BathFacts bath={bath} />
          {mayAct ? (
            <div>
              <Button
                tone={bath.expired ? "primary" : "plain"}
                onClick={() => {
                  empty.reset();
                  setAsked(bath);
                }}
              >
                Empty {bath.label}
              </Button>
            </div>
          ) : null}
        </article>
      ))}
      <Confirm open={asked !== null} title={`Empty ${asked?.label ?? "this bath"}?`} act="It is emptied" pending={empty.isPending} onConfirm={() => asked !== null && empty.mutate({ bathId: asked.id })} onCancel={() => setAsked(null)}>
        <p>No wash can be started in it any more. Sets that are in it now may still be taken out when their time is over.</p>
        <WhyNot state={empty} />
      </Confirm>
    </section>
  );
}

const anHour = 3_600_000;

/** Good until, or expired: as a word and a shape. Its last hour is counted down. */
export function BathLife({ bath, now }: { bath: Bath; now: string }) {
  const { site } = useWho();
  if (bath.expired) {
    return (
      <span className="tinted inline-flex items-center gap-2 rounded-lg px-2.5 py-1 font-bold" data-tone="stop">
        <Icon name="octagon" /> Expired
      </span>
    );
  }
  return (
    <span className="tinted inline-flex items-center gap-2 rounded-lg px-2.5 py-1" data-tone="ready">
      <Icon name="tick" />
      {Date.parse(bath.expiresAt) - Date.parse(now) < anHour ? (
        <Countdown until={bath.expiresAt} serverNow={now} label="Good for another" over="Expired" />
      ) : (
        <span>
          Good until <Instant at={bath.expiresAt} timeZone={site.timeZone} />
        </span>
      )}
    </span>
  );
}

export function BathFacts({ bath }: { bath: Bath }) {
  const { site } = useWho();
  return (
    <dl className="grid grid-cols-[auto_1fr] gap-x-4 gap-y-1">
      <dt className="text-soft">Product</dt>
      <dd>
        {bath.product}
        {bath.lot === null ? null : <>, lot {bath.lot}</>}
      </dd>
      <dt className="text-soft">Strength</dt>
      <dd>
        {numberText(bath.ppm)} ppm <span className="text-soft">(label: {numberText(bath.minPpm)} to {numberText(bath.maxPpm)})</span>
      </dd>
      <dt className="text-soft">Mixed</dt>
      <dd>
        {volumeText(bath.productMl)} in {volumeText(bath.waterMl)} of water, <Instant at={bath.mixedAt} timeZone={site.timeZone} />, by {bath.mixedBy}
      </dd>
      {bath.expired ? (
        <>
          <dt className="text-soft">Was good until</dt>
          <dd>
            <Instant at={bath.expiresAt} timeZone={site.timeZone} />
          </dd>
        </>
      ) : null}
    </dl>
  );
}
