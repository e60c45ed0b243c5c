import { bench } from "./bench.ts";
import { desk } from "./desk.ts";
import { fleet } from "./fleet.ts";
import { live } from "./live.ts";
import { models } from "./models.ts";
import { people } from "./people.ts";
import { session } from "./session.ts";
import { sets } from "./sets.ts";
import { site } from "./site.ts";
import { today } from "./today.ts";
import { trends } from "./trends.ts";
import { router } from "./trpc.ts";
import { washRoom } from "./wash-room.ts";

export const appRouter = router({ bench, desk, fleet, live, models, people, session, sets, site, today, trends, washRoom });
export type AppRouter = typeof appRouter;
