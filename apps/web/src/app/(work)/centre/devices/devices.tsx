"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useMemo, useState } from "react";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";

type Device = Outputs["people"]["devices"][number];
const column = createColumnHelper<TableFeatures, Device>();

export function Devices() {
  const trpc = useTRPC();
  const devices = useQuery(trpc.people.devices.queryOptions());
  const { site } = useWho();
  const [asked, setAsked] = useState<Device | null>(null);
  const afterAct = useAfterAct();
  const revoke = useMutation(
    trpc.people.revokeDevice.mutationOptions({
      onSuccess: (answer) => afterAct(answer, () => setAsked(null)),
    }),
  );
  const columns = useMemo(
    () =>
      column.columns([
        column.accessor("name", { header: "Device" }),
        column.accessor("enrolledAt", { header: "Enrolled", cell: (cell) => <Instant at={cell.getValue()} timeZone={site.timeZone} /> }),
        column.accessor("enrolledBy", { header: "By" }),
        column.display({
          id: "act",
          header: "Act",
          cell: ({ row }) =>
            row.original.revokedAt !== null ? (
              <>Shut out <Instant at={row.original.revokedAt} timeZone={site.timeZone} /></>
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
        <WhyNot state={revoke} />
      </Confirm>
    </>
  );
}
