// Which question comes next, and which matter.
import assert from "node:assert/strict";
import { test } from "node:test";
import { nextQuestion, pathsThatMatter } from "./walk_ahead.js";
import { Queue, inOrder, withWaiting } from "./walk_kept.js";

const stops = [
  { stop: "below", fields: [{ path: "a", text: "A" }, { path: "b", text: "B" }] },
  { stop: "attic", fields: [{ path: "c", text: "C" }] },
];

const at = (stop, path) => ({ stop, path });

test("questions come in the order of the walk, and after the last the first again", () => {
  assert.deepEqual(nextQuestion(stops, at("", "")), { stop: "below", path: "a" });
  assert.deepEqual(nextQuestion(stops, at("below", "b")), { stop: "attic", path: "c" });
  assert.deepEqual(nextQuestion(stops, at("attic", "c")), { stop: "below", path: "a" });
  assert.equal(nextQuestion([], at("attic", "c")), null);
});

test("what was answered is not asked again, and a question that left the list does not lead back", () => {
  assert.deepEqual(nextQuestion(stops, at("below", "a"), { answered: new Set(["a", "b"]) }), { stop: "attic", path: "c" });
  assert.equal(nextQuestion(stops, at("attic", "c"), { answered: new Set(["a", "b", "c"]) }), null);
  const order = ["below", "rooms", "attic"];
  assert.deepEqual(nextQuestion(stops, at("rooms", "gone"), { order }), { stop: "attic", path: "c" });
  assert.deepEqual(nextQuestion(stops, at("below", "gone"), { order }), { stop: "below", path: "a" });
});

test("what matters is every question of every stop", () => {
  assert.deepEqual([...pathsThatMatter(stops)], ["a", "b", "c"]);
});

test("a stop shows the answers that wait in the browser", () => {
  const field = { path: "a.b", value: "", estimate: "Not answered", refused: "" };
  const stop = { key: "k", records: [{ fields: [field], more: [{ ...field, path: "a.c" }] }], observations: [{ word: "w", seen: false }] };
  const waiting = [
    { kind: "answer", path: "a.b", text: "1" }, { kind: "answer", path: "a.b", text: "2" },
    { kind: "choose", path: "a.c", word: "batt" }, { kind: "observe", word: "w", seen: true },
  ];
  const shown = withWaiting(stop, waiting);
  assert.equal(shown.records[0].fields[0].value, "2");
  assert.equal(shown.records[0].fields[0].estimate, "");
  assert.equal(shown.records[0].more[0].value, "batt");
  assert.equal(shown.observations[0].seen, true);
  assert.deepEqual(withWaiting(stop, []), stop);
});

const named = (id, at) => ({ file: "h", message: { id, kind: "answer", path: "a" }, at });
const ids = (items) => items.map((item) => item.message.id);

test("what an ended browser left is sent before what was answered since", () => {
  assert.deepEqual(ids(inOrder([named("new", 5)], [named("older", 3), named("old", 2), named("new", 5)])), ["old", "older", "new"]);
});

test("an answer counts as kept once it is on the disk of the device or with the form, and is sent after older ones", async () => {
  let written = () => {};
  let older = () => {};
  const disk = {
    all: () => new Promise((resolve) => { older = resolve; }),
    put: () => new Promise((resolve) => { written = resolve; }),
    remove: () => {},
  };
  let keeping = null;
  const queue = new Queue((now) => { keeping = now; }, disk);
  const message = { kind: "answer", path: "a", text: "2" };
  assert.equal(queue.add(message, "h"), false);
  assert.equal(keeping, true);
  older([named("left", 1)]);
  await queue.read;
  assert.deepEqual(queue.waiting("h").map((one) => one.id), ["left", message.id]);
  written(true);
  await Promise.resolve();
  assert.equal(keeping, false);
  const next = { kind: "answer", path: "a", text: "3" };
  assert.equal(queue.add(next, "h"), true);
  written(false);
  await Promise.resolve();
  assert.equal(keeping, true);
  queue.forget([next.id]);
  assert.equal(keeping, false);
  assert.deepEqual(queue.waiting("h").map((one) => one.id), ["left", message.id]);
});
