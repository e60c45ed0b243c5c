import { PlainFrame } from "../../components/plain-frame.tsx";
import { Away } from "./away.tsx";

export const metadata = { title: "Wash room, without the network" };

/** The page a tablet keeps for the time without a network. It is asked for without cookies: nothing of anybody is in it. */
export default function AwayPage() {
  return (
    <PlainFrame>
      <h1 className="mb-4">Wash room, without the network</h1>
      <Away />
    </PlainFrame>
  );
}
