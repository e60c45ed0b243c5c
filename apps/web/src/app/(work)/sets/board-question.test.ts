import { expect, test } from "vitest";
import { readBoardQuestion } from "./board-question.ts";

const asked = (address: string) => readBoardQuestion(new URLSearchParams(address));

test("an empty address asks for the first page by tag, of every state", () => {
  expect(asked("")).toEqual({ search: null, states: [], modelId: null, sort: "tag", descending: false, page: 0, size: 50 });
});

test("an address keeps what a person chose", () => {
  expect(asked("q=%20R-01&state=ready+out&model=0b54ab52-7a0f-4a0e-8d7f-5d0d3c5b9d10&sort=dueOn&down=1&page=3")).toEqual({
    search: "R-01",
    states: ["out", "ready"],
    modelId: "0b54ab52-7a0f-4a0e-8d7f-5d0d3c5b9d10",
    sort: "dueOn",
    descending: true,
    page: 2,
    size: 50,
  });
});

test("what cannot be is left out, so that an old link still opens", () => {
  expect(asked("state=lost&model=x&sort=colour&page=-2")).toEqual(asked(""));
  expect(asked("page=99999999999999999999").page).toBe(0);
});
