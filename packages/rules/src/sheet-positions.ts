/**
 * The words people write for a position in a set, and for the two kinds of work.
 *
 * "second stage" alone does not say primary or alternate. It is the primary of a set that has no other
 * second stage without a name of its own; the set's rows together decide that (fleet-sheet-checks.ts).
 */
import type { Work } from "./due-dates.ts";
import type { Role } from "./models.ts";
import { folded } from "./sheet-text.ts";

/** What a word says: a position, or a second stage of which the word does not say which. */
export type PositionWord = Role | "second-stage";

const POSITIONS: Readonly<Record<PositionWord, readonly string[]>> = {
  "first-stage": ["first stage", "1st stage", "1 stage", "stage 1", "stage one", "first", "1st", "first stage regulator", "fs", "erste stufe", "1. stufe", "1 stufe", "druckminderer", "premier étage", "1er étage", "1 er étage", "primera etapa", "1ª etapa", "1a etapa", "1ra etapa", "primer etapa", "primo stadio", "1° stadio", "1º stadio", "1 stadio"],
  "second-stage": ["second stage", "2nd stage", "2 stage", "stage 2", "stage two", "second", "2nd", "demand valve", "dv", "zweite stufe", "2. stufe", "2 stufe", "lungenautomat", "deuxième étage", "second étage", "2ème étage", "2e étage", "2eme étage", "segunda etapa", "2ª etapa", "2a etapa", "2da etapa", "secondo stadio", "2° stadio", "2º stadio", "2 stadio", "erogatore"],
  primary: ["primary", "primary second stage", "primary 2nd stage", "primary second", "primary regulator", "primary dv", "main second stage", "main dv", "hauptautomat", "hauptregler", "primär", "primaire", "détendeur principal", "principal", "primaria", "segunda etapa principal", "primario", "secondo stadio principale", "erogatore principale"],
  alternate: ["alternate", "alternate second stage", "alternate 2nd stage", "alternate air source", "alternate dv", "alternative", "alternative air source", "aas", "octopus", "octo", "occy", "octopus second stage", "safe second", "safe second stage", "secondary", "secondary second stage", "backup", "back up", "backup second stage", "backup regulator", "spare second stage", "oktopus", "zweitautomat", "nebenautomat", "reserveautomat", "détendeur de secours", "secours", "second détendeur", "pulpo", "segunda etapa alternativa", "fuente alternativa", "octopus di emergenza", "erogatore di emergenza", "fonte alternativa", "secondo stadio alternativo"],
  gauge: ["gauge", "pressure gauge", "spg", "submersible pressure gauge", "contents gauge", "content gauge", "contents", "hp gauge", "high pressure gauge", "analogue gauge", "analog gauge", "manometer", "finimeter", "fini", "manomètre", "mano", "manómetro", "manometro"],
  "inflator-hose": ["inflator hose", "inflator", "lpi", "lpi hose", "lp inflator", "lp inflator hose", "low pressure inflator", "low pressure inflator hose", "direct feed", "direct feed hose", "bcd hose", "bc hose", "bcd inflator hose", "power inflator hose", "inflatorschlauch", "inflator schlauch", "jacketschlauch", "flexible d'inflateur", "flexible inflateur", "tuyau d'inflateur", "tuyau inflateur", "flexible de gilet", "direct system", "latiguillo de inflador", "latiguillo inflador", "latiguillo del jacket", "latiguillo de jacket", "frusta gav", "frusta del gav", "frusta jacket", "frusta vis", "frusta inflator"],
  hose: ["hose", "lp hose", "hp hose", "low pressure hose", "high pressure hose", "medium pressure hose", "regulator hose", "second stage hose", "gauge hose", "drysuit hose", "suit hose", "schlauch", "md schlauch", "hd schlauch", "mitteldruckschlauch", "hochdruckschlauch", "flexible", "tuyau", "flexible mp", "flexible hp", "flexible bp", "latiguillo", "latiguillo hp", "latiguillo lp", "manguera", "frusta", "frusta hp", "frusta bp", "frusta lp"],
  transmitter: ["transmitter", "tx", "air transmitter", "pressure transmitter", "wireless transmitter", "tank transmitter", "sender", "drucksender", "émetteur", "transmetteur", "transmisor", "emisor", "trasmettitore", "sonda"],
};

const WORK: Readonly<Record<Work, readonly string[]>> = {
  service: ["service", "serviced", "full service", "annual service", "overhaul", "svc", "revision", "wartung", "gewartet", "révision", "entretien", "révisé", "revisión", "mantenimiento", "revisione", "manutenzione"],
  inspection: ["inspection", "inspected", "inspect", "annual inspection", "insp", "check", "checked", "inspektion", "prüfung", "geprüft", "sichtprüfung", "contrôle", "contrôlé", "visite", "inspección", "control", "ispezione", "controllo"],
};

/** A word without case, accents and punctuation; digits and letters keep apart, so that "1ª" is not "1a b". */
export function wordKey(text: string): string {
  return folded(text).normalize("NFKD").replace(/\p{M}/gu, "").replace(/ß/g, "ss").replace(/[^\p{L}\p{N}]+/gu, " ").trim();
}

function table<Name extends string>(words: Readonly<Record<Name, readonly string[]>>): ReadonlyMap<string, Name> {
  const names = Object.keys(words) as Name[];
  return new Map(names.flatMap((name) => [name, ...words[name]].map((word) => [wordKey(word), name] as const)));
}

const positionWords = table(POSITIONS);
const workWords = table(WORK);

/** The position a word means, or null when the word is not known. Brackets may hold a remark: "Hose (yellow)". */
export function positionOf(text: string): PositionWord | null {
  return positionWords.get(wordKey(text)) ?? positionWords.get(wordKey(text.replace(/\([^()]*\)/g, " "))) ?? null;
}

/** The work a word means, or null when the word is not known. */
export function workOf(text: string): Work | null {
  return workWords.get(wordKey(text)) ?? null;
}

/** All words of the two tables, for the test that none means two things. */
export const WORD_TABLES = { positions: POSITIONS, work: WORK } as const;
