import { ACTS, type Act } from "@hangrail/rules/acts";
import { SET_STATES } from "@hangrail/rules/set-state";
import { TRPCClientError } from "@trpc/client";
import { expect, test } from "vitest";
import { actLook } from "./act-looks.ts";
import { errorWords, fieldErrors, rolesLine, staffRoles, stateLook, whoClears } from "./words.ts";

test("every state has its own word and its own shape", () => {
  const looks = SET_STATES.map(stateLook);
  expect(new Set(looks.map(({ word }) => word)).size).toBe(SET_STATES.length);
  expect(new Set(looks.map(({ icon }) => icon)).size).toBe(SET_STATES.length);
});

test("every act has a word", () => {
  const acts = Object.keys(ACTS) as Act[];
  expect(new Set(acts.map((act) => actLook(act).word)).size).toBe(acts.length);
});

test("roles read as people, in the order of the day", () => {
  expect(rolesLine(["manager", "desk"])).toBe("desk hand, manager");
  expect(rolesLine([])).toContain("no role");
  expect(whoClears(["desk", "technician"])).toBe("the desk hand or the technician");
  expect(staffRoles).toHaveLength(4);
});

const answered = (message: string, data: object) => TRPCClientError.from({ error: { message, code: -32600, data } });

test("what the server said is passed on; what never arrived is not passed off as done", () => {
  expect(errorWords(answered("Please sign in.", { code: "UNAUTHORIZED" }))).toBe("Please sign in.");
  expect(errorWords(TRPCClientError.from(new TypeError("Failed to fetch")))).toContain("did not answer");
  expect(errorWords(new Error("x of undefined"))).not.toContain("undefined");
});

test("field sentences come with the field's name, and nothing else does", () => {
  expect(fieldErrors(answered("", { code: "BAD_REQUEST", fields: { pin: "A PIN has six digits.", bad: 7 } }))).toEqual({ pin: "A PIN has six digits." });
  expect(fieldErrors(answered("", { code: "CONFLICT", fields: null }))).toEqual({});
  expect(fieldErrors(new Error("no"))).toEqual({});
});
