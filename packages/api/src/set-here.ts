/** The one question of procedures that tell something of a set and load nothing that knows its site. */
import type { Database } from "@hangrail/db/database";
import { TRPCError } from "@trpc/server";

/** Throws unless there is such a set at this site: another site's is as good as none. */
export async function mustBeHere(db: Pick<Database, "prisma">, site: string, setId: string): Promise<void> {
  if ((await db.prisma.regulatorSet.count({ where: { id: setId, siteId: site } })) === 0) throw new TRPCError({ code: "NOT_FOUND", message: "There is no such set here." });
}
