// A link carries the plan there and back, and only a change of plans is a step.
import assert from "node:assert/strict";
import { test } from "node:test";
import { linkOf, placeOf, samePlans } from "./address.js";

const PLACE = {
  ticked: ["tank_wrap", "led_lamps"],
  kept: [{ name: "attic ~ first & <b>", ticked: ["attic_hatch"] }],
  anyway: ["heat_pumps.heat_pump"],
  units: "si",
  language: "es",
  mark: "1fb8d694",
};
const BASE = "http://127.0.0.1:8866/?token=secret";

test("a place comes back from its link", () => {
  assert.deepEqual(placeOf(linkOf(PLACE, BASE)), PLACE);
});

test("a link holds no token, and nothing that is as usual", () => {
  const plain = { ticked: [], kept: [], anyway: [], units: "us", language: "en", mark: "1fb8d694" };
  assert.equal(linkOf(plain, BASE), "http://127.0.0.1:8866/");
  assert.ok(!linkOf(PLACE, BASE).includes("secret"));
});

test("another language or other units are no step; another plan is", () => {
  const link = linkOf(PLACE, BASE);
  assert.ok(samePlans(link, linkOf({ ...PLACE, units: "us", language: "en" }, BASE)));
  assert.ok(!samePlans(link, linkOf({ ...PLACE, ticked: ["tank_wrap"] }, BASE)));
  assert.ok(!samePlans(link, linkOf({ ...PLACE, anyway: [] }, BASE)));
  assert.ok(!samePlans(link, linkOf({ ...PLACE, kept: [] }, BASE)));
});

test("a link that somebody bent gives names, and whoever asks looks them up", () => {
  const bent = placeOf("http://x/?tick=<script>..tank_wrap&keep=nothing&units=FURLONG");
  assert.deepEqual(bent.ticked, ["<script>", "tank_wrap"]);
  assert.deepEqual(bent.kept, [{ name: "", ticked: ["nothing"] }]);
  assert.equal(bent.units, "furlong");
});
