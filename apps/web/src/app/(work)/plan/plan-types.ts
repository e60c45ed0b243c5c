/** The plan's answers as they arrive at a screen: an instant is a text by then. */
import type { Outputs } from "../../../trpc/types.ts";

export type Outlook = Outputs["plan"]["outlook"];
export type AcceptedPlan = NonNullable<Outlook["accepted"]>;
export type AcceptedLine = AcceptedPlan["lines"][number];
export type BookingView = Outputs["plan"]["bookings"][number];
export type CalendarFeed = Outputs["plan"]["calendars"][number];
