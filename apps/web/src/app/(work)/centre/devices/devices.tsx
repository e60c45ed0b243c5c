"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useMemo, useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Day, Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { useReadAgain } from "../use-read-again.ts";

type Device = Outputs["people"]["devices"][number];
const column = createColumnHelper<TableFeatures, Device>();

export function Devices() {
  const trpc = useTRPC();
  const devices = useQuery(trpc.people.devices.queryOptions());
  const { site } = useWho();
  const [asked, setAsked] = useState<Device | null>(null);
  const readAgain = useReadAgain();
  const revoke = useMutation(
    trpc.people.revokeDevice.mutationOptions({
      onSuccess: () => {
        setAsked(null);
        return readAgain();
      },
    }),
  );
  const columns = useMemo(
    () =>
      column.columns([
        column.accessor("name", { header: "Device" }),
        column.accessor("enrolledOn", { header: "Enrolled", cell: (cell) => <Day day={cell.getValue()} /> }),
        column.accessor("lastSeenAt", { header: "Last seen", cell: (cell) => <LastSeen at={cell.getValue()} timeZone={site.timeZone} /> }),
        column.display({
          id: "act",
          header: "Act",
          cell: ({ row }) =>
            row.original.revoked ? (
              "Shut out"
            ) : (
              <Button tone="danger" aria-label={`Shut out ${row.original.name}`} onClick={() => setAsked(row.original)}>
                Shut out
              </Button>
            ),
        }),
      ]),
    [site.timeZone],
  );
  return (
    <>
      <DataTable caption="Enrolled devices" columns={columns} rows={devices.data} rowKey={(device) => device.id} empty="No device is enrolled. People sign in with name and password." failed={devices.error === null ? null : errorWords(devices.error)} />
      <Confirm open={asked !== null} title={`Shut out ${asked?.name ?? ""}?`} act="Shut this device out" tone="danger" pending={revoke.isPending} onConfirm={() => asked !== null && revoke.mutate({ deviceId: asked.id })} onCancel={() => setAsked(null)}>
        <p>Whoever is signed in on it is signed out at once, and PINs no longer work there.</p>
        {revoke.error === null ? null : (
          <Notice kind="stop" announce>
            <p>{errorWords(revoke.error)}</p>
          </Notice>
        )}
      </Confirm>
    </>
  );
}

function LastSeen({ at, timeZone }: { at: string | null; timeZone: string }) {
  return at === null ? "never" : <Instant at={at} timeZone={timeZone} />;
}
