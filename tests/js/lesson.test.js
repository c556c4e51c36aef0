// Numbers as they are typed into a lesson, and the sign that a phone's number pad does not have.
import assert from "node:assert/strict";
import { test } from "node:test";
import { typedNumber, withOtherSign } from "./lesson_parts.js";

test("a number has a point or a comma, and anything else is none", () => {
  assert.equal(typedNumber("6.04"), 6.04);
  assert.equal(typedNumber(" 6,04 "), 6.04);
  assert.equal(typedNumber("\u221212"), -12);
  assert.equal(typedNumber("0"), 0);
  for (const wrong of ["", "  ", "many", "1,2,3", "3 to 4"]) assert.ok(Number.isNaN(typedNumber(wrong)), wrong);
});

test("the sign changes and changes back", () => {
  assert.equal(withOtherSign("825"), "-825");
  assert.equal(withOtherSign("-825"), "825");
  assert.equal(withOtherSign("\u2212 825"), "825");
  assert.equal(withOtherSign(""), "-");
});
