/** Each act of the record by its name and its shape. Apart from the other words, because the desk's tablet fetches every byte. */
import type { Act } from "@hangrail/rules/acts";
import type { IconName } from "./components/icon.tsx";

/** Acts upon the site rather than upon one set. The first three are told to every set they touch as well. */
export const siteActs = [
  "limits-accepted",
  "pairing-changed",
  "policy-changed",
  "bath-mixed",
  "bath-emptied",
  "site-opened",
  "person-added",
  "roles-changed",
  "secret-changed",
  "person-closed",
  "authorised",
  "device-enrolled",
  "device-revoked",
  "product-accepted",
  "product-approved",
  "clock-confirmed",
  "severity-tuned",
  "bench-limit-accepted",
  "build-accepted",
  "kits-accepted",
  "kit-added",
  "kit-moved",
  "kit-ordered",
  "kit-order-closed",
  "gauge-added",
  "gauge-calibrated",
  "gauge-retired",
  "money-set",
  "booking-made",
  "booking-withdrawn",
  "bench-hours-set",
  "plan-accepted",
  "calendar-opened",
  "calendar-revoked",
  "hirers-erased",
] as const;

/** Whatever the record may hold. */
export type RecordedAct = Act | (typeof siteActs)[number];

/** An act as it stands in a line of time. */
export function actLook(act: RecordedAct): { word: string; icon: IconName } {
  switch (act) {
    case "registered":
      return { word: "Registered", icon: "book" };
    case "imported":
      return { word: "Imported from a list", icon: "swap" };
    case "handed-out":
      return { word: "Handed out", icon: "out" };
    case "taken-back":
      return { word: "Taken back", icon: "desk" };
    case "wash-started":
      return { word: "Put in the bath", icon: "bath" };
    case "wet-ended":
      return { word: "Taken out of the bath", icon: "drop" };
    case "cleaned":
      return { word: "Clean and dry", icon: "wind" };
    case "wash-abandoned":
      return { word: "Wash broken off", icon: "drop" };
    case "breath-tested":
      return { word: "Breath test by staff", icon: "person" };
    case "fitted":
      return { word: "Component fitted", icon: "loop" };
    case "removed":
      return { word: "Component removed", icon: "loop" };
    case "fault-reported":
      return { word: "Fault reported", icon: "tag" };
    case "fault-cleared":
      return { word: "Fault cleared", icon: "tick" };
    case "opened":
      return { word: "Opened on the bench", icon: "spanner" };
    case "serviced":
      return { word: "Serviced", icon: "spanner" };
    case "inspected":
      return { word: "Inspected", icon: "spanner" };
    case "bedding-checked":
      return { word: "Bedding check", icon: "spanner" };
    case "bench-test-failed":
      return { word: "Bench test not passed", icon: "octagon" };
    case "bench-tested":
      return { word: "Bench test", icon: "spanner" };
    case "released":
      return { word: "Released", icon: "pen" };
    case "retired":
      return { word: "Retired", icon: "minus" };
    case "transferred":
      return { word: "Moved to another site", icon: "house" };
    case "evidence-locked":
      return { word: "Sealed as evidence", icon: "lock" };
    case "notice-opened":
      return { word: "Safety notice opened", icon: "triangle" };
    case "notice-cleared":
      return { word: "Safety notice cleared", icon: "tick" };
    case "restored":
      return { word: "Brought back from a backup", icon: "loop" };
    case "restored-seen":
      return { word: "Seen since the restore", icon: "tick" };
    case "corrected":
      return { word: "Correction", icon: "pen" };
    case "limits-accepted":
      return { word: "Maker's limits accepted", icon: "book" };
    case "pairing-changed":
      return { word: "Pairing changed", icon: "loop" };
    case "policy-changed":
      return { word: "Site's settings changed", icon: "house" };
    case "bath-mixed":
      return { word: "Bath mixed", icon: "bath" };
    case "bath-emptied":
      return { word: "Bath emptied", icon: "bath" };
    case "site-opened":
      return { word: "Site opened", icon: "house" };
    case "person-added":
      return { word: "Person added", icon: "person" };
    case "roles-changed":
      return { word: "Roles changed", icon: "person" };
    case "secret-changed":
      return { word: "Password or PIN changed", icon: "person" };
    case "person-closed":
      return { word: "Account closed", icon: "person" };
    case "authorised":
      return { word: "Technician authorised", icon: "person" };
    case "device-enrolled":
      return { word: "Device enrolled", icon: "scan" };
    case "device-revoked":
      return { word: "Device taken out of use", icon: "scan" };
    case "product-accepted":
      return { word: "Disinfectant taken into use", icon: "drop" };
    case "product-approved":
      return { word: "Disinfectant approved for models", icon: "drop" };
    case "bench-limit-accepted":
      return { word: "Limits of the bench test accepted", icon: "book" };
    case "build-accepted":
      return { word: "A model's build accepted", icon: "book" };
    case "kits-accepted":
      return { word: "Kits of a service accepted", icon: "book" };
    case "kit-added":
      return { word: "Kit entered", icon: "box" };
    case "kit-moved":
      return { word: "Kits received or counted", icon: "box" };
    case "kit-ordered":
      return { word: "Kits ordered", icon: "box" };
    case "kit-order-closed":
      return { word: "Order of kits closed", icon: "box" };
    case "gauge-added":
      return { word: "Test gauge added", icon: "clock" };
    case "gauge-calibrated":
      return { word: "Test gauge calibrated", icon: "clock" };
    case "gauge-retired":
      return { word: "Test gauge taken out of use", icon: "minus" };
    case "clock-confirmed":
      return { word: "Clock confirmed", icon: "clock" };
    case "fault-confirmed":
      return { word: "Fault confirmed", icon: "tag" };
    case "photo-added":
      return { word: "Photograph added", icon: "info" };
    case "order-opened":
      return { word: "Work asked for", icon: "spanner" };
    case "order-taken":
      return { word: "Taken to the bench", icon: "spanner" };
    case "order-parked":
      return { word: "Waits for parts", icon: "box" };
    case "order-resumed":
      return { word: "Taken up again", icon: "spanner" };
    case "order-done":
      return { word: "Work order closed", icon: "tick" };
    case "custody-noted":
      return { word: "Passed on, sealed", icon: "lock" };
    case "evidence-lifted":
      return { word: "Seal lifted", icon: "lock" };
    case "severity-tuned":
      return { word: "Fault's severity set", icon: "tag" };
    case "money-set":
      return { word: "Prices entered", icon: "pen" };
    case "booking-made":
      return { word: "Booked", icon: "pen" };
    case "booking-withdrawn":
      return { word: "Booking withdrawn", icon: "minus" };
    case "bench-hours-set":
      return { word: "Bench hours set", icon: "clock" };
    case "plan-accepted":
      return { word: "Plan accepted", icon: "tick" };
    case "calendar-opened":
      return { word: "Calendar address given out", icon: "info" };
    case "calendar-revoked":
      return { word: "Calendar address withdrawn", icon: "minus" };
    case "hirers-erased":
      return { word: "Hirers' names erased", icon: "person" };
  }
}
