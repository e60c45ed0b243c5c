import { addDays, addMonths, daysBetween } from "@hangrail/rules/calendar";
import type { Adapter } from "./adapter.ts";
import { fields, number, readDay, text } from "./reading.ts";

export const calendar: Adapter = {
  answer: (input) => {
    const given = fields(input, "input");
    const from = readDay(given["from"], "from");
    switch (text(given["op"], "op")) {
      case "addMonths":
        return { date: addMonths(from, number(given["months"], "months")) };
      case "addDays":
        return { date: addDays(from, number(given["days"], "days")) };
      case "daysBetween":
        return { days: daysBetween(from, readDay(given["to"], "to")) };
      default:
        throw new Error(`there is no calendar operation "${String(given["op"])}"`);
    }
  },
};
