"use client";
import { useRouter } from "next/navigation";
import { Link } from "../../../components/link.tsx";
import { addressOf, type About } from "./filter.ts";

/** To the faults behind a figure. */
export function Drill({ about, children }: { about: About; children: string }) {
  return (
    <Link href={addressOf("/trends/faults", about)} className="inline-flex min-h-12 items-center">
      {children}
    </Link>
  );
}

/** The same for a point in a picture. */
export function useOpenFaults(): (about: About) => void {
  const router = useRouter();
  return (about) => router.push(addressOf("/trends/faults", about));
}
