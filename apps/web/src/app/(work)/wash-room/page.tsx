import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { WashRoom } from "./wash-room.tsx";

export const metadata = { title: "Wash room" };

export default async function WashRoomPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role !== "desk") === true) await prefetch(trpc.washRoom.queue.queryOptions());
  return (
    <Prefetched>
      <WashRoom />
    </Prefetched>
  );
}
