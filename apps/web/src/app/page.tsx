import { redirect } from "next/navigation";
import { whoAmI } from "../trpc/server.tsx";

/** The front door: on to where this person, or this new centre, has to begin. */
export default async function FrontDoor() {
  const { stage } = await whoAmI();
  switch (stage) {
    case "first-run":
      redirect("/first-run");
    case "sign-in":
      redirect("/sign-in");
    case "signed-in":
      redirect("/today");
  }
}
