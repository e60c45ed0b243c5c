import { ButtonLink } from "../../../components/button.tsx";
import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { readBoardQuestion } from "./board-question.ts";
import { SetsBoard } from "./sets-board.tsx";
import { SetsTabs } from "./sets-tabs.tsx";

export const metadata = { title: "Sets" };

type SetsPageProps = { searchParams: Promise<Record<string, string | string[] | undefined>> };

export default async function SetsPage({ searchParams }: SetsPageProps) {
  const asked = Object.entries(await searchParams).flatMap(([key, value]) => (typeof value === "string" ? [[key, value]] : []));
  const [{ staff }] = await Promise.all([whoAmI(), prefetch(trpc.sets.board.queryOptions(readBoardQuestion(new URLSearchParams(asked)))), prefetch(trpc.models.list.queryOptions())]);
  const mayRegister = staff?.roles.some((role) => role === "technician" || role === "manager") === true;
  return (
    <Prefetched>
      <PageHead title="Sets" lead="Every set of this site: its state, what holds it and what falls due next.">
        {mayRegister ? <ButtonLink href="/sets/new">Register a new set</ButtonLink> : null}
      </PageHead>
      <SetsTabs />
      <SetsBoard />
    </Prefetched>
  );
}
