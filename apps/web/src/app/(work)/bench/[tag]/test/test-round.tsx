"use client";
import dynamic from "next/dynamic";
import { figureText, keptWords, limitText, partTitle, phaseWords, quantityOfReading, readingWords, valueText } from "../../../../../bench-test-words.ts";
import { useWho } from "../../../../../components/who.tsx";
import { instantText, type Units } from "../../../../../format.ts";
import { compared, type ComparedLine, type KeptReading, type KeptTest, type Round } from "./compared.ts";
import { VerdictLine, VerdictMark } from "./verdict-mark.tsx";

const CurvePicture = dynamic(() => import("./curve-picture.tsx").then((module) => module.CurvePicture), { ssr: false, loading: () => <p role="status">The curve is being drawn…</p> });

/** The tests of one round side by side, with their curves. */
export function TestRound({ round }: { round: Round }) {
  const { site } = useWho();
  const heads = round.map((test) => `${phaseWords(test.phase)}, ${instantText(test.testedAt, site.timeZone)}`);
  return (
    <div className="grid gap-6">
      <ul className="grid gap-3">
        {round.map((test, at) => (
          <li key={test.id} className="flex flex-wrap items-center gap-3">
            <VerdictMark verdict={test.verdict} />
            <span>
              <span className="font-semibold">{heads[at]}</span>, by {test.testedBy}
              {test.words === "" ? "" : `: “${test.words}”`}
            </span>
          </li>
        ))}
      </ul>
      {compared(round).map(({ part, lines }) => (
        <table key={part.component} className="table" role="table">
          <caption className="pb-2 text-start font-bold">
            {partTitle(part.role, part.serial)}, {part.model}
          </caption>
          <thead role="rowgroup" className="as-cards:hidden">
            <tr role="row">
              <th scope="col" role="columnheader">
                Reading
              </th>
              {heads.map((head, at) => (
                <th key={round[at]!.id} scope="col" role="columnheader">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody role="rowgroup">
            {lines.map((line) => (
              <Line key={`${line.name} ${line.zone ?? ""}`} line={line} heads={heads} units={site.units} />
            ))}
          </tbody>
        </table>
      ))}
      {round.flatMap((test, at) => test.curves.map((curve, nth) => <KeptCurve key={`${test.id} ${nth}`} curve={curve} test={test} head={heads[at]!} units={site.units} />))}
    </div>
  );
}

function Line({ line, heads, units }: { line: ComparedLine; heads: readonly string[]; units: Units }) {
  return (
    <tr role="row">
      <th scope="row" role="rowheader">
        <span className="cell-name" aria-hidden="true">
          Reading
        </span>
        <span className="min-w-0">{readingWords(line.name, line.zone)}</span>
      </th>
      {line.cells.map((readings, at) => (
        <td key={at} role="cell">
          <span className="cell-name" aria-hidden="true">
            {heads[at]}
          </span>
          <span className="grid min-w-0 gap-2">{readings.length === 0 ? "not read" : readings.map((reading, nth) => <Cell key={nth} reading={reading} units={units} />)}</span>
        </td>
      ))}
    </tr>
  );
}

function Cell({ reading, units }: { reading: KeptReading; units: Units }) {
  const quantity = quantityOfReading(reading.name);
  const { low, high } = reading;
  const about = [
    reading.supplyCbar === null ? null : `supply ${figureText(reading.supplyCbar, "pressure", units)}`,
    reading.atCbar === null ? null : `master ${figureText(reading.atCbar, "pressure", units)}`,
    quantity === "yes-or-no" || reading.name === "gauge-zero" || (low === null && high === null) ? null : `limit ${limitText({ low, high }, quantity, units)}`,
    reading.adjuster === null || reading.adjuster === "none" ? null : `adjuster ${reading.adjuster}`,
    reading.venturi === null || reading.venturi === "none" ? null : `lever ${reading.venturi}`,
    reading.gauge === null ? null : `on ${reading.gauge}`,
  ].filter((one) => one !== null);
  return (
    <span className="grid">
      <span className="font-semibold">{valueText(reading.name, reading.value, units)}</span>
      <VerdictLine verdict={reading.verdict}>{keptWords(reading, units)}</VerdictLine>
      {about.length === 0 ? null : <span className="text-soft">{about.join("; ")}</span>}
    </span>
  );
}

function KeptCurve({ curve, test, head, units }: { curve: KeptTest["curves"][number]; test: KeptTest; head: string; units: Units }) {
  const judged = test.readings.find(({ name, component, supplyCbar }) => name === "intermediate-pressure" && component === curve.component && supplyCbar === curve.supplyCbar);
  return <CurvePicture title={`${head}: curve at ${figureText(curve.supplyCbar, "pressure", units)}`} points={curve.points} found={curve.found} count={curve.count} band={judged === undefined ? null : { low: judged.low, high: judged.high }} units={units} />;
}
