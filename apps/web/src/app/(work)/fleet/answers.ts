/** What a person answers to a sheet's open questions, put together for the next check. */
import { ROLES } from "@hangrail/rules/models";
import { FLEET_COLUMNS, HISTORY_COLUMNS, type ColumnSpec } from "@hangrail/rules/sheet-columns";
import { columnNamed } from "@hangrail/rules/sheet-headers";
import type { Inputs, Outputs } from "../../../trpc/types.ts";
import { positionWords } from "../../../words.ts";

export type SheetInput = Inputs["fleet"]["check"];
export type Kind = SheetInput["kind"];
export type Answers = SheetInput["answers"];
export type Judged = Extract<Outputs["fleet"]["check"], { answer: "judged" }>;
export type Question = Judged["questions"][number];
export type Problem = Judged["problems"][number];

export function columnsOf(kind: Kind): readonly ColumnSpec<string>[] {
  return kind === "fleet" ? FLEET_COLUMNS : HISTORY_COLUMNS;
}

/** Questions that have one answer between them stand together: it is given once. */
export type Asked = { key: string; questions: readonly [Question, ...Question[]]; choices: readonly { value: string; label: string }[] };

export function groupQuestions(questions: readonly Question[], kind: Kind): Asked[] {
  const groups = new Map<string, [Question, ...Question[]]>();
  for (const question of questions) {
    const key = keyOf(question);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [question]);
    else group.push(question);
  }
  return [...groups].map(([key, group]) => ({ key, questions: group, choices: choicesOf(group[0], kind) }));
}

function keyOf({ code, column, about }: Question): string {
  return code === "tags-alike" || code === "blank-tags" || code === "short-rows" ? code : [code, column ?? "", about ?? ""].join(" ");
}

function choicesOf({ code, choices, about, header }: Question, kind: Kind): Asked["choices"] {
  const titles = new Map(columnsOf(kind).map((column) => [column.name, column.title]));
  switch (code) {
    case "unknown-column":
      return choices.map((value) => ({ value, label: value === "ignore" ? `Leave “${about ?? header ?? ""}” out` : `It is “${titles.get(value) ?? value}”` }));
    case "position-word":
      return ROLES.filter((role) => choices.includes(role)).map((value) => ({ value, label: positionWords(value) }));
    default:
      return choices.map((value) => ({ value, label: choiceWords(value) }));
  }
}

export function choiceWords(choice: string): string {
  switch (choice) {
    case "day-first":
      return "The day comes first: 03/04/2026 is 3 Apr 2026";
    case "month-first":
      return "The month comes first: 03/04/2026 is 4 Mar 2026";
    case "from-1900":
      return "Counted from 1900";
    case "from-1904":
      return "Counted from 1904";
    case "comma":
      return "The comma: 1,5 is one and a half, 1.200 is twelve hundred";
    case "point":
      return "The point: 1.5 is one and a half, 1,200 is twelve hundred";
    case "empty":
      return "Yes, their missing cells are empty";
    case "spare":
      return "They are spares in no set";
    case "same-as-above":
      return "They belong to the set named above them";
    case "same-set":
      return "One set, written differently";
    case "different-sets":
      return "Different sets";
    default:
      return choice;
  }
}

/** The answers so far with one more. The key of a column is its letter, since two may have one name. */
export function withAnswer(answers: Answers, { code, column, header, about }: Question, value: string, kind: Kind): Answers {
  switch (code) {
    case "unknown-column":
      return { ...answers, columns: { ...answers.columns, [`column ${column ?? ""}`]: value } };
    case "position-word": {
      const role = ROLES.find((one) => one === value);
      return role === undefined ? answers : { ...answers, positions: { ...answers.positions, [about ?? ""]: role } };
    }
    case "date-order":
      return value === "day-first" || value === "month-first" ? { ...answers, dateOrder: forColumn(answers.dateOrder, nameOf(answers, column, header, kind), value) } : answers;
    case "day-numbers":
      return value === "from-1900" || value === "from-1904" ? { ...answers, dayNumbers: forColumn(answers.dayNumbers, nameOf(answers, column, header, kind), value) } : answers;
    case "decimal-mark":
      return value === "comma" || value === "point" ? { ...answers, decimalMark: forColumn(answers.decimalMark, nameOf(answers, column, header, kind), value) } : answers;
    case "short-rows":
      return value === "empty" ? { ...answers, shortRows: value } : answers;
    case "blank-tags":
      return value === "spare" || value === "same-as-above" ? { ...answers, blankTags: value } : answers;
    case "tags-alike":
      return value === "same-set" || value === "different-sets" ? { ...answers, tagsAlike: value } : answers;
  }
}

/** Problems that leaving a column out would end. */
export function mayLeaveOut({ code, column }: Problem): boolean {
  return column !== null && (code === "column-twice" || code === "column-unnamed");
}

export function leavingOut(answers: Answers, column: string): Answers {
  return { ...answers, columns: { ...answers.columns, [`column ${column}`]: "ignore" } };
}

/** Which of our columns a column of the sheet is: as was answered, else by its name. */
function nameOf(answers: Answers, column: string | null, header: string | null, kind: Kind): string | null {
  return answers.columns?.[`column ${column ?? ""}`] ?? columnNamed(header ?? "", columnsOf(kind));
}

type PerColumn<T extends string> = T | Record<string, T> | undefined;

function forColumn<T extends string>(given: PerColumn<T>, name: string | null, value: T): T | Record<string, T> {
  if (name === null || typeof given === "string") return value;
  return { ...given, [name]: value };
}
