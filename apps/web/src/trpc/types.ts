import type { AppRouter } from "@hangrail/api/router";
import type { inferRouterInputs, inferRouterOutputs } from "@trpc/server";

/** What each procedure takes, e.g. `Inputs["desk"]["handOut"]`. */
export type Inputs = inferRouterInputs<AppRouter>;
/** What each procedure answers, e.g. `Outputs["sets"]["page"]`. */
export type Outputs = inferRouterOutputs<AppRouter>;

/** Who is at the screen, where, and on which device. */
export type WhoAmI = Outputs["session"]["whoAmI"];
