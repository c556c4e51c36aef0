// What a pick makes of the plan, which plan a budget reaches, and which numbers are refused.
import assert from "node:assert/strict";
import { test } from "node:test";
import { picked } from "./list.js";
import { within } from "./page.js";
import { outOfRange } from "./questions.js";
import { say, setTexts } from "./say.js";

test("a pick goes last, and taking it out leaves the others in their order", () => {
  assert.deepEqual(picked(["a", "b"], undefined, "c", true), ["a", "b", "c"]);
  assert.deepEqual(picked(["a", "b"], undefined, "a", true), ["b", "a"]);
  assert.deepEqual(picked(["a", "b", "c"], undefined, "b", false), ["a", "c"]);
});

test("of either-or fixes one at most is in the plan", () => {
  const either = { keys: ["walls", "ceiling"] };
  assert.deepEqual(picked(["walls", "wrap"], either, "ceiling", true), ["wrap", "ceiling"]);
  assert.deepEqual(picked(["walls", "wrap"], either, "walls", false), ["wrap"]);
  assert.deepEqual(picked(["ceiling", "wrap"], either, "walls", false), ["wrap"]);
});

test("a budget reaches the last plan that it pays for", () => {
  const line = [{ cost: 0 }, { cost: 40 }, { cost: 500 }];
  assert.equal(within(line, 39), line[0]);
  assert.equal(within(line, 499.6), line[2]);
  assert.equal(within(line, 1e6), line[2]);
  assert.equal(within([{ cost: 10 }], 5), null);
  assert.equal(within([], 5), null);
});

test("a number outside its bounds is told with them", () => {
  setTexts({ number_out: "from {low} to {high}" });
  const fields = [{ name: "budget", label: "Dollars", low: 0, high: 9, choices: [] }];
  const typed = (value) => outOfRange(fields, new Map([["budget", { value }]]));
  assert.equal(typed("9"), "");
  for (const wrong of ["-1", "10", "", "many", "Infinity"]) assert.equal(typed(wrong), "Dollars: from 0 to 9");
});

test("a sentence has its blanks filled, and others left", () => {
  setTexts({ told: "{a} and {b}" });
  assert.equal(say("told", { a: 1 }), "1 and {b}");
  assert.equal(say("unknown"), "unknown");
});
