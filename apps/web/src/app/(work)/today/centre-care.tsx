"use client";
import { useQuery } from "@tanstack/react-query";
import { ButtonLink } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useWho } from "../../../components/who.tsx";
import { countText } from "../../../format.ts";
import { backupWords } from "../../../today-words.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";

/** What the manager must know of the centre's data before anything else: backups that are missing, and sets a restore holds. Silent while all is well. */
export function CentreCare() {
  const trpc = useTRPC();
  const { site } = useWho();
  const backups = useQuery(trpc.site.backups.queryOptions());
  const waiting = useQuery(trpc.restored.waiting.queryOptions());
  const failed = backups.error ?? waiting.error;
  const told = backups.data === undefined ? null : backupWords(backups.data, site.timeZone);
  const held = waiting.data === undefined ? 0 : waiting.data.here + waiting.data.out;
  return (
    <>
      {held === 0 ? null : (
        <Notice kind="stop" title="Held since the restore">
          <p className="mb-3">{countText(held, "set")} of this site cannot go out until you have seen them: the backup knows nothing of what came after it.</p>
          <ButtonLink href="/centre/restored">Confirm what you have seen</ButtonLink>
        </Notice>
      )}
      {told === null ? null : (
        <Notice kind="warn" title={told.title}>
          <p>{told.sentence}</p>
          <p>
            Where Hangrail runs, make one with <kbd>npm run hangrail -- backup</kbd>. Started with HANGRAIL_BACKUP_FOLDER, it makes one every day by itself.
          </p>
        </Notice>
      )}
      {failed === null ? null : (
        <Notice kind="stop" title="The backups could not be looked at">
          <p>{errorWords(failed)}</p>
        </Notice>
      )}
    </>
  );
}
