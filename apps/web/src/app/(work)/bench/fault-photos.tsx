"use client";
import { useMutation } from "@tanstack/react-query";
import { useRef, useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Field } from "../../../components/field.tsx";
import { scaledPhoto, UnusablePhoto } from "../../../components/scaled-photo.ts";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { newRequestId } from "../../../components/use-request-id.ts";
import { useTRPC } from "../../../trpc/client.ts";

/** The photographs of a fault, small; each opens whole. */
export function FaultPhotos({ photos, of }: { photos: readonly string[]; of: string }) {
  if (photos.length === 0) return null;
  return (
    <ul className="screen-only flex flex-wrap gap-3" aria-label={`Photographs of ${of}`}>
      {photos.map((photo, at) => (
        <li key={photo}>
          <a href={`/api/photos/${photo}`} target="_blank" rel="noreferrer" className="block rounded-lg border-2 border-edge p-1">
            <img src={`/api/photos/${photo}`} alt={`Photograph ${at + 1} of ${of}`} width={112} height={84} loading="lazy" className="h-[84px] w-[112px] rounded object-cover" />
          </a>
        </li>
      ))}
    </ul>
  );
}

/** Takes a photograph with the camera or from a file, makes it small and sends it. */
export function AddPhoto({ faultId, label = "Photograph" }: { faultId: string; label?: string }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const field = useRef<HTMLInputElement>(null);
  const [said, setSaid] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const add = useMutation(
    trpc.faults.addPhoto.mutationOptions({
      onSuccess: (answer) => afterAct(answer, () => setSaid("The photograph is added.")),
    }),
  );
  const send = async (file: File) => {
    setProblem(null);
    setSaid("The photograph is being made smaller and sent…");
    try {
      const base64 = await scaledPhoto(file);
      await add.mutateAsync({ requestId: newRequestId(), faultId, base64 });
    } catch (error) {
      setSaid(null);
      // What the server said stands below; what never left is said here.
      if (error instanceof UnusablePhoto) setProblem(error.message);
    }
    if (field.current !== null) field.current.value = "";
  };
  return (
    <div className="grid gap-3">
      <Field
        ref={field}
        label={label}
        hint="From the camera or a file. It is made smaller here before it is sent."
        type="file"
        accept="image/*"
        error={problem}
        onChange={(event) => {
          const file = event.target.files?.[0];
          if (file !== undefined) void send(file);
        }}
      />
      <p role="status" className="min-h-[1.5em] font-semibold">
        {add.data?.answer === "refused" ? null : said}
      </p>
      <WhyNot state={add} />
    </div>
  );
}
