"use client";
import { useQuery } from "@tanstack/react-query";
import { Icon } from "../../../components/icon.tsx";
import { Link } from "../../../components/link.tsx";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { readAbout } from "../trends/filter.ts";
import { intervalText, ratesText, rateText, verdictIcon, verdictWord } from "../trends/trends-words.ts";
import { Matter } from "./part.tsx";

const most = 5;

/** Which models fail more often than the others, at a glance; for those who may see figures. */
export function Trouble({ today }: { today: string }) {
  const { staff } = useWho();
  const may = staff.roles.includes("manager") || staff.roles.includes("technician");
  const trpc = useTRPC();
  const rates = useQuery({ ...trpc.trends.rates.queryOptions({ ...readAbout(new URLSearchParams(), today), by: "model" }), enabled: may });
  if (!may) return null;
  const worse = rates.data?.rows.filter((row) => row.verdict.verdict === "worse").length ?? 0;
  return (
    <Matter title="Faults per 100 dives, the last two years" pressing={worse > 0}>
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
                <li key={row.key} className="flex gap-2 border-t border-hairline pt-2">
                  <Icon name={verdictIcon(row.verdict)} size={22} />
                  <span>
                    <strong>{row.name}</strong>: {row.interval.answer === "refused" ? "no rate" : `${rateText(row.interval.rate)} (${intervalText(row.interval.lower, row.interval.upper)})`}, {verdictWord(row.verdict)}
                  </span>
                </li>
              ))}
          </ul>
          <p>
            <Link href="/trends" className="inline-flex min-h-12 items-center">
              All figures, and the faults behind them
            </Link>
          </p>
        </>
      )}
    </Matter>
  );
}
