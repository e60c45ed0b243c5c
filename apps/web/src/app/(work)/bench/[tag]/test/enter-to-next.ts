import type { KeyboardEvent } from "react";

/**
 * Enter in an entry goes to the next one, as on a till: with a keypad alone a whole test can be typed.
 * The last one leads to the button; only there, or in lines of text, does Enter mean what it usually does.
 */
export function enterToNext(event: KeyboardEvent<HTMLElement>): void {
  const here = event.target;
  if (event.key !== "Enter" || event.nativeEvent.isComposing || !(here instanceof HTMLInputElement || here instanceof HTMLSelectElement)) return;
  event.preventDefault();
  const stops = [...(here.form?.querySelectorAll<HTMLElement>("input, select, textarea, button[type=submit]") ?? [])];
  stops.slice(stops.indexOf(here) + 1).find((stop) => isStop(stop, here))?.focus();
}

/** Radio buttons of a name are one stop: the one chosen, else the first. */
function isStop(stop: HTMLElement, here: HTMLInputElement | HTMLSelectElement): boolean {
  if (!(stop instanceof HTMLInputElement) || stop.type !== "radio") return true;
  if (here instanceof HTMLInputElement && here.type === "radio" && here.name === stop.name) return false;
  const group = [...(stop.form?.querySelectorAll<HTMLInputElement>("input[type=radio]") ?? [])].filter(({ name }) => name === stop.name);
  return stop === (group.find(({ checked }) => checked) ?? group[0]);
}
