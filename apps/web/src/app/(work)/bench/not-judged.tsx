"use client";
import { ButtonLink } from "../../../components/button.tsx";
import { countText } from "../../../format.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { kindWords } from "../../../words.ts";

/** Models in use without accepted limits: every set with one of them is held. */
export function NotJudged({ models }: { models: Outputs["models"]["list"] }) {
  const wanting = models.filter((model) => model.limits === null && model.sets > 0);
  return (
    <section aria-labelledby="not-judged" className="grid gap-4">
      <h2 id="not-judged">Models without accepted limits: {countText(wanting.length, "model")}</h2>
      {wanting.length === 0 ? (
        <p>Every model in use has limits that a technician accepted from its manual.</p>
      ) : (
        <>
          <ul className="grid gap-2">
            {wanting.map((model) => (
              <li key={model.id} className="border-s-4 border-edge ps-3">
                <strong>
                  {model.maker} {model.name}
                </strong>
                , {kindWords(model.kind)}: in {countText(model.sets, "set")}, not judged
              </li>
            ))}
          </ul>
          <div>
            <ButtonLink href="/models">Enter limits from the manual</ButtonLink>
          </div>
        </>
      )}
    </section>
  );
}
