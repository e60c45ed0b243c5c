/** How a set goes together, in words: threads, ports, places and pairings. */
import type { AssemblyDoubt, AssemblyFault, Plug } from "@hangrail/rules/ports";
import { listText } from "./format.ts";
import { positionWords } from "./words.ts";

type Names = Readonly<Record<string, string>>;

/** A thread as it is called at the bench. */
export function plugWords(plug: Plug): string {
  switch (plug) {
    case "lp-3/8":
      return "3/8 inch, low pressure";
    case "lp-1/2":
      return "1/2 inch, low pressure";
    case "hp-7/16":
      return "7/16 inch, high pressure";
  }
}

const nameIn = (names: Names, component: string): string => names[component] ?? "A component";

/** What is wrong with a set as it is put together. */
export function assemblyFaultWords(fault: AssemblyFault, names: Names): string {
  switch (fault.code) {
    case "low-pressure-part-on-high-port":
      return `${nameIn(names, fault.component)} takes low pressure, and its thread (${plugWords(fault.plug)}) goes into a high-pressure port: the hose would burst.`;
    case "high-pressure-part-on-low-port":
      return `${nameIn(names, fault.component)} takes cylinder pressure, and its thread (${plugWords(fault.plug)}) goes into a low-pressure port.`;
    case "too-few-ports":
      return `No port is left: ${fault.used} parts need one of ${plugWords(fault.plug)}, and the first stage has ${fault.there}.`;
    case "not-paired":
      return `${nameIn(names, fault.component)} is not approved on this first stage.`;
    case "same-component-twice":
      return `${nameIn(names, fault.component)} is named twice.`;
    case "place-taken-twice":
      return `There is one place for a ${positionWords(fault.role).toLowerCase()}, and ${fault.components.length} are in it: ${listText(fault.components.map((one) => nameIn(names, one)))}.`;
    case "part-missing":
      return `The ${positionWords(fault.part).toLowerCase()} is missing.`;
  }
}

/** What nobody can say of a set, because it is not recorded. */
export function assemblyDoubtWords(doubt: AssemblyDoubt, names: Names): string {
  switch (doubt.code) {
    case "build-unknown":
      return `${nameIn(names, doubt.component)}: how its model is built is not recorded.`;
    case "plug-unknown":
      return `${nameIn(names, doubt.component)}: the thread it screws in with is not recorded.`;
    case "pairing-unknown":
      return `${nameIn(names, doubt.component)}: no approval on this first stage is recorded.`;
    case "ports-unknown":
      return `${nameIn(names, doubt.component)}: how many ports of ${plugWords(doubt.plug)} it has is not recorded.`;
  }
}
