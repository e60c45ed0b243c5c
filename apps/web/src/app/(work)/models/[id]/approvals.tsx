"use client";
import { Link } from "../../../../components/link.tsx";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import type { Outputs } from "../../../../trpc/types.ts";
import { asksCold, type ModelRow } from "../limits-words.ts";

/** What the maker approves beside it: second stages on this first stage or the other way round, and disinfectants. */
export function Approvals({ model, manual }: { model: ModelRow; manual: Outputs["models"]["manual"] }) {
  const { site } = useWho();
  return (
    <section aria-labelledby="approvals" className="sheet grid gap-4">
      <h2 id="approvals">What its maker approves</h2>
      {asksCold(model.kind) ? (
        <div className="grid gap-2">
          <h3>{model.kind === "first-stage" ? "Second stages on it" : "First stages it may sit on"}</h3>
          {manual.pairings.length === 0 ? <p>None is approved: every set with it is held.</p> : null}
          <ul className="grid gap-1">
            {manual.pairings.map((pair) => (
              <li key={pair.model}>
                <Link href={`/models/${pair.model}`} className="inline-flex min-h-12 items-center">
                  {pair.name}
                </Link>{" "}
                <span className="text-soft">{pair.page}</span>
              </li>
            ))}
          </ul>
          <p>
            <Link href="/models/pairings" className="inline-flex min-h-12 items-center">
              To the pairings
            </Link>
          </p>
        </div>
      ) : null}
      <div className="grid gap-2">
        <h3>Disinfectants</h3>
        {manual.disinfectants.length === 0 ? <p>None is approved: a set with it can be put in no bath.</p> : null}
        <ul className="grid gap-2">
          {manual.disinfectants.map((product) => (
            <li key={product.name}>
              {product.name}{" "}
              <span className="text-soft">
                {product.page}. Approved by {product.approvedBy}, <Instant at={product.approvedAt} timeZone={site.timeZone} />.
              </span>
            </li>
          ))}
        </ul>
        <p>
          <Link href="/wash-room/products" className="inline-flex min-h-12 items-center">
            To the products for the wash
          </Link>
        </p>
      </div>
    </section>
  );
}
