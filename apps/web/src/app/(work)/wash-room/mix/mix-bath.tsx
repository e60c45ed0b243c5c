"use client";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { ButtonLink } from "../../../../components/button.tsx";
import { Choices } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { MixForm } from "./mix-form.tsx";

/** A bath from two measured volumes; its strength is computed and held against the label. */
export function MixBath() {
  const trpc = useTRPC();
  const mayAct = useHasRole("wash-room");
  const products = useQuery(trpc.washRoom.products.queryOptions());
  const [chosen, setChosen] = useState<string | null>(null);
  const [mixed, setMixed] = useState<string | null>(null);
  const mixedBox = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (mixed !== null) mixedBox.current?.focus();
  }, [mixed]);
  const only = products.data?.length === 1 ? products.data[0] : undefined;
  const product = products.data?.find((one) => one.id === chosen) ?? only;
  return (
    <>
      <PageHead title="Mix a bath" lead="By the label alone. Never mix two products, and never bleach with an acid or with ammonia.">
        <ButtonLink href="/wash-room">Wash room</ButtonLink>
      </PageHead>
      <div ref={mixedBox} tabIndex={-1} className="mb-6 grid gap-4">
        {mixed === null ? null : (
          <>
            <Notice kind="ok" title="Bath recorded" announce>
              <p className="text-xl">{mixed}</p>
            </Notice>
            <ButtonLink href="/wash-room/start" tone="primary" size="wash">
              Put sets in a bath
            </ButtonLink>
          </>
        )}
      </div>
      {!mayAct ? (
        <Notice kind="stop" title="Not yours to record">
          <p>A bath is recorded by whoever has the role of wash-room hand.</p>
        </Notice>
      ) : products.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(products.error)}</p>
        </Notice>
      ) : products.data === undefined ? (
        <p role="status">The products are being read…</p>
      ) : products.data.length === 0 ? (
        <Notice kind="warn" title="No disinfectant is recorded">
          <p>The technician or the manager enters it from its label, under Products.</p>
        </Notice>
      ) : (
        <div className="grid gap-6">
          <Choices
            label="Which product?"
            name="product"
            size="wash"
            value={product?.id ?? null}
            choices={products.data.map((one) => ({
              value: one.id,
              label: (
                <>
                  {one.name}{" "}
                  <span className="block font-normal">
                    {one.strengthHundredths / 100} % in the bottle; label {numberText(one.minPpm)} to {numberText(one.maxPpm)} ppm, {one.wetMinutes} min
                  </span>
                </>
              ),
            }))}
            onChoose={(id) => {
              setChosen(id);
              setMixed(null);
            }}
          />
          {product === undefined ? <p>Choose the product you hold in your hand.</p> : <MixForm key={`${product.id} ${mixed ?? ""}`} product={product} onMixed={setMixed} />}
        </div>
      )}
    </>
  );
}
