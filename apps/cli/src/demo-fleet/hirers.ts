import type { Chance } from "./chance.ts";

const GIVEN = ["Adela", "Benno", "Carla", "Dario", "Elif", "Fenna", "Goran", "Hilke", "Ivo", "Jolanta", "Kofi", "Lene", "Mirko", "Nadia", "Oona", "Piet", "Rasa", "Silvan", "Tamsin", "Ulla", "Vito", "Wanda", "Yusra", "Zeno"];
const FAMILY = ["Abelin", "Brandow", "Calvisi", "Drenth", "Egerton", "Fornasar", "Gilbrook", "Hasselt", "Ilvonen", "Jarnsby", "Kolmar", "Lindqvar", "Morwell", "Noltke", "Orsini-Vey", "Pradell", "Quist", "Rovering", "Selmark", "Tolvane", "Umbrik", "Vossberg", "Wexley", "Zamorin"];

/** An invented person. */
export const hirerName = (chance: Chance): string => `${chance.pick(GIVEN)} ${chance.pick(FAMILY)}`;
