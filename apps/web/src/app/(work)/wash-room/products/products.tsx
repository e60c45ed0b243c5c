"use client";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { Button, ButtonLink } from "../../../../components/button.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { countText, listText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { AddProduct } from "./add-product.tsx";
import { ApproveModels } from "./approve-models.tsx";

type Product = Outputs["washRoom"]["products"][number];
type Model = Outputs["models"]["list"][number];

/** The disinfectants in use, each with what its label says and the models whose maker allows it. */
export function Products() {
  const trpc = useTRPC();
  const products = useQuery(trpc.washRoom.products.queryOptions());
  const models = useQuery(trpc.models.list.queryOptions());
  const technician = useHasRole("technician");
  const manager = useHasRole("manager");
  const error = products.error ?? models.error;
  return (
    <>
      <PageHead title="Products" lead="A set goes into a bath only when the maker of every component in it allows the product. What nobody looked up is not allowed.">
        <ButtonLink href="/wash-room">Wash room</ButtonLink>
      </PageHead>
      {error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(error)}</p>
        </Notice>
      ) : products.data === undefined || models.data === undefined ? (
        <p role="status">The products are being read…</p>
      ) : (
        <div className="grid gap-6">
          {products.data.length === 0 ? <p>No disinfectant is recorded yet.</p> : null}
          {products.data.map((product) => (
            <ProductSheet key={product.id} product={product} models={models.data} mayApprove={technician} />
          ))}
          {technician || manager ? <AddProduct /> : null}
        </div>
      )}
    </>
  );
}

function ProductSheet({ product, models, mayApprove }: { product: Product; models: readonly Model[]; mayApprove: boolean }) {
  const [open, setOpen] = useState(false);
  const allowed = new Set(product.disinfectantApprovals.map((one) => one.modelId));
  const wanting = models.filter((model) => model.sets > 0 && !allowed.has(model.id));
  return (
    <article className="sheet grid gap-4" aria-label={product.name}>
      <h2>{product.name}</h2>
      <dl className="grid gap-x-6 gap-y-1 sm:grid-cols-[auto_1fr]">
        <dt className="text-soft">In the bottle</dt>
        <dd>{product.strengthHundredths / 100} %</dd>
        <dt className="text-soft">In the bath</dt>
        <dd>
          {numberText(product.minPpm)} to {numberText(product.maxPpm)} ppm ({product.minPpm / 10_000} to {product.maxPpm / 10_000} %)
        </dd>
        <dt className="text-soft">Wet time</dt>
        <dd>{product.wetMinutes} min</dd>
        <dt className="text-soft">A bath is good for</dt>
        <dd>{countText(product.bathHours, "hour")}</dd>
        <dt className="text-soft">Read from</dt>
        <dd>{product.labelPage}</dd>
        <dt className="text-soft">Allowed on</dt>
        <dd>{countText(allowed.size, "model")}</dd>
      </dl>
      {wanting.length === 0 ? null : (
        <Notice kind="warn" title={`Not allowed yet on ${countText(wanting.length, "model")} in use`}>
          <p>{listText(wanting.map((model) => `${model.maker} ${model.name}`))}. Sets with them cannot be washed in it.</p>
        </Notice>
      )}
      {!mayApprove ? null : open ? (
        <ApproveModels product={product} models={models} onClose={() => setOpen(false)} />
      ) : (
        <div>
          <Button onClick={() => setOpen(true)}>Record makers’ approvals for {product.name}</Button>
        </div>
      )}
    </article>
  );
}
