"use client";
import { useQuery } from "@tanstack/react-query";
import { Icon } from "../../../components/icon.tsx";
import { Link } from "../../../components/link.tsx";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { addressOf, readAbout } from "../trends/filter.ts";
import { intervalText, ratesText, rateText, sumText, verdictIcon, verdictWord } from "../trends/trends-words.ts";
import { Matter } from "./part.tsx";

const most = 5;

/** Which models fail more often than the others, at a glance; for those who may see figures. */
export function Trouble({ today }: { today: string }) {
  const { staff } = useWho();
  const may = staff.roles.includes("manager") || staff.roles.includes("technician");
  const trpc = useTRPC();
  const about = readAbout(new URLSearchParams(), today);
  const rates = useQuery({ ...trpc.trends.rates.queryOptions({ ...about, by: "model" }), enabled: may });
  const months = useQuery({ ...trpc.trends.months.queryOptions(about), enabled: may });
  if (!may) return null;
  const worse = rates.data?.rows.filter((row) => row.verdict.verdict === "worse").length ?? 0;
  const risen = months.data?.chart.answer === "chart" && months.data.chart.cusum.answer === "cusum" && months.data.chart.cusum.signalMonths.length > 0;
  return (
    <Matter title="Faults per 100 dives, the last two years" pressing={worse > 0 || risen}>
      {rates.error !== null ? (
        <p>{errorWords(rates.error)}</p>
      ) : rates.data === undefined ? (
        <p role="status">Being counted…</p>
      ) : (
        <>
          <p className="font-semibold">{ratesText(rates.data, "model")}</p>
          <ul className="grid gap-2">
            {rates.data.rows
              .filter((row) => row.faults > 0)
              .slice(0, most)
              .map((row) => (
                <li key={row.key} className="flex items-baseline gap-2 border-t border-hairline">
                  <Icon name={verdictIcon(row.verdict)} size={22} />
                  <span>
                    <Link href={addressOf("/trends/faults", { ...about, modelId: row.key })} className="inline-flex min-h-12 items-center font-bold">
                      {row.name}
                    </Link>
                    : {row.interval.answer === "refused" ? "no rate" : `${rateText(row.interval.rate)} (${intervalText(row.interval.lower, row.interval.upper)})`}, {verdictWord(row.verdict)}
                  </span>
                </li>
              ))}
          </ul>
          {months.data?.chart.answer === "chart" ? <p>{sumText(months.data.chart)}</p> : null}
          <p className="flex flex-wrap gap-x-6">
            <Link href="/trends" className="inline-flex min-h-12 items-center">
              All figures, and the faults behind them
            </Link>
            <Link href="/trends/months" className="inline-flex min-h-12 items-center">
              Month by month
            </Link>
          </p>
        </>
      )}
    </Matter>
  );
}
