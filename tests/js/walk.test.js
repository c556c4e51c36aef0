// Which question comes next, and which matter.
import assert from "node:assert/strict";
import { test } from "node:test";
import { nextQuestion, pathsThatMatter } from "./walk_ahead.js";

const stops = [
  { stop: "below", fields: [{ path: "a", text: "A" }, { path: "b", text: "B" }] },
  { stop: "attic", fields: [{ path: "c", text: "C" }] },
];

test("questions come in the order of the walk, and after the last the first again", () => {
  assert.deepEqual(nextQuestion(stops, ""), { stop: "below", path: "a" });
  assert.deepEqual(nextQuestion(stops, "b"), { stop: "attic", path: "c" });
  assert.deepEqual(nextQuestion(stops, "c"), { stop: "below", path: "a" });
  assert.equal(nextQuestion([], "c"), null);
});

test("what matters is every question of every stop", () => {
  assert.deepEqual([...pathsThatMatter(stops)], ["a", "b", "c"]);
});
