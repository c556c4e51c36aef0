// What the page shows of a plan at home, in the page's own words: the same contents that a kernel sends, from plain numbers.
import { expectedOf, guess, planOf, pricesOf, leftToPay, rangeOf, sum, workOrder } from "./home_numbers.js";
import { lower } from "./say.js";

export const fillIn = (text, blanks) => text.replace(/\{(\w+)\}/g, (whole, name) => (name in blanks ? String(blanks[name]) : whole));

/** Round as the rest of the program does: a half goes to the even neighbor. */
export function roundEven(value) {
  return Math.abs(value - Math.trunc(value)) === 0.5 ? 2 * Math.round(value / 2) : Math.round(value);
}

export const grouped = (value) => Math.abs(value).toFixed(0).replace(/\B(?=(\d{3})+$)/g, ",");

const stepOf = (amount) => (Math.abs(amount) < 100 ? 1 : Math.abs(amount) < 10000 ? 10 : 100);
const rounded = (amount) => roundEven(amount / stepOf(amount)) * stepOf(amount);

/** Money that was rounded before. */
export const asRounded = (amount) => (amount < 0 ? "-$" : "$") + grouped(amount);

/** Money as people say it: whole dollars below 100, tens below 10,000, hundreds above. */
export const dollarsOf = (amount) => asRounded(rounded(amount));

/**
 * Parts rounded as money is written, and moved so that they add up to a whole that was rounded before: the coarsest first,
 * by a step of their own, and what is still missing in the largest.
 * @param {number[]} parts
 * @param {number} whole
 */
export function addingUp(parts, whole) {
  const shown = parts.map(rounded);
  let rest = whole - sum(shown);
  for (const step of [100, 10, 1]) {
    const sign = rest > 0 ? 1 : -1;
    const off = parts.map((part, at) => sign * (part - shown[at]));
    const places = parts.map((_, at) => at).filter((at) => shown[at] && stepOf(parts[at]) === step);
    for (const at of places.sort((a, b) => off[b] - off[a])) {
      if (2 * Math.abs(rest) > step || Math.abs(rest) === step) {
        shown[at] += sign * step;
        rest -= sign * step;
      }
    }
  }
  if (rest && shown.some(Boolean)) {
    shown[shown.reduce((most, one, at) => (Math.abs(one) > Math.abs(shown[most]) ? at : most), 0)] += rest;
  }
  return shown;
}

/** What is paid afterward, as it is shown beside what was paid before and what is saved: their difference. */
const shownAfter = (before, after) => rounded(before) - rounded(before - after);

/** What each line says that it saves; those of the plan add up to what is said of the plan. */
function shownLines(expected, on) {
  const shown = expected.lines.map(rounded);
  const inOrder = [...on].sort((a, b) => a - b);
  addingUp(inOrder.map((place) => expected.lines[place]), rounded(expected.saving)).forEach((one, at) => { shown[inOrder[at]] = one; });
  return shown;
}

/**
 * Words of one language and one system of units.
 * @param {any} house numbers
 * @param {any} words texts of the catalog, titles, reasons, notes
 */
export function homeWords(house, words) {
  const tell = (path, blanks = {}) => fillIn(path.split(".").reduce((found, name) => found[name], words.texts), blanks);
  const yearly = (amount, write = dollarsOf) => (amount < -0.5 ? tell("form.more", { amount: write(-amount) }) : write(Math.max(amount, 0)));
  const names = (on) => on.map((place) => lower(words.titles[place])).join("; ");
  return { house, words, tell, yearly, names, name: (place) => lower(words.titles[place]) };
}

const amountOf = (told, likely, write = dollarsOf) => (likely < 0.5 ? told.tell("form.free") : write(likely));
export const priceOf = (told, cost) => amountOf(told, cost[1]);

function priceRange(told, cost) {
  const [low, likely, high] = cost.map(dollarsOf);
  if (cost[2] <= 0) return told.tell("form.free");
  return low === high ? likely : told.tell("form.within", { likely, low, high });
}

export function yearsOf(told, span) {
  if (!Number.isFinite(span)) return told.tell("form.never");
  if (span < 0.5) return told.tell("form.within_months");
  if (span < 1.5) return told.tell("form.about_a_year");
  return span > 60 ? told.tell("form.very_many_years") : told.tell("form.about_years", { count: roundEven(span) });
}

export const keysAt = (told, on) => on.map((place) => told.house.keys[place]);
const byKey = (told, list) => Object.fromEntries(told.house.keys.map((key, place) => [key, list[place]]));

/** What a pick changes, as the page takes it. */
export function nowAtHome(told, plan, newest) {
  const expected = expectedOf(told.house, plan);
  const bars = barsOf(expected, plan.on);
  const saves = shownLines(expected, plan.on).map((amount) => told.yearly(amount, asRounded));
  return {
    ticked: keysAt(told, plan.on),
    strip: stripAtHome(told, plan, expected),
    live: liveAtHome(told, plan, expected, newest),
    rows: byKey(told, plan.rows.map((row, place) => rowAtHome(told, row, expected, { place, shown: saves[place] }))),
    total: plan.on.length ? aboutIf(told, plan, dollarsOf(expected.saving)) : told.tell("form.none"),
    picture: pictureAtHome(told, plan, expected, { bars, saves }),
    cost: plan.cost[1],
    saving: expected.saving,
  };
}

// What holds a fix beyond those that were worked out in every combination is told as about.
const aboutIf = (told, plan, amount) => (plan.exact || plan.on.length < 2 ? amount : told.tell("home.about", { amount }));

function stripAtHome(told, plan, expected) {
  const some = plan.on.length > 0;
  const none = told.tell("form.none");
  const likely = expected.saving > -0.5 ? told.tell("strip.saves_likely", { amount: dollarsOf(expected.saving) }) : "";
  const [low, high] = [plan.cost[0], plan.cost[2]].map(dollarsOf);
  return [
    [told.tell("strip.now"), dollarsOf(told.house.before), ""],
    [told.tell("strip.after"), some ? aboutIf(told, plan, asRounded(shownAfter(told.house.before, expected.left))) : none, ""],
    [told.tell("strip.saves"), some ? aboutIf(told, plan, told.yearly(expected.saving)) : none, some ? likely : told.tell("strip.after_none")],
    [told.tell("strip.costs"), some ? priceOf(told, plan.cost) : none, some && low !== high ? told.tell("form.between", { low, high }) : ""],
    [told.tell("strip.pays"), some ? yearsOf(told, expected.payback) : none, ""],
    [told.tell("strip.safety"), ...safetyAtHome(told, plan)],
  ];
}

function safetyAtHome(told, plan) {
  const count = cautionsAtHome(told, plan).length;
  const notes = told.tell(count === 1 ? "strip.safety_notes_one" : "strip.safety_notes", { count });
  const { hazards, stopped } = told.words;
  if (stopped) return [told.tell("strip.safety_stop"), count ? notes : ""];
  if (hazards.length) return [told.tell("strip.safety_settle", { count: hazards.length }), count ? notes : ""];
  return [count ? notes : told.tell("strip.safety_none"), ""];
}

const LIVE_LETTERS = 200;

function liveAtHome(told, plan, expected, newest) {
  if (!plan.on.length) return told.tell("live.none");
  const text = told.tell(expected.saving > -0.5 ? "live.plan" : "live.plan_more", {
    saving: dollarsOf(Math.abs(expected.saving)), cost: priceOf(told, plan.cost), payback: yearsOf(told, expected.payback),
  });
  if (newest < 0) return text;
  const first = told.tell(plan.on.includes(newest) ? "live.added" : "live.removed", { title: told.words.titles[newest] });
  return first.length + text.length < LIVE_LETTERS ? `${first} ${text}` : text;
}

function rowAtHome(told, row, expected, { place, shown }) {
  const none = told.tell("form.none");
  const blocked = told.names(row.blocked);
  const saves = expected.lines[place];
  const pays = saves > 0 && row.now > 0 ? (row.payback * row.now) / saves : row.payback;
  return [
    blocked ? none : shown,
    priceOf(told, row.cost),
    blocked ? told.tell("row.blocked", { names: blocked }) : "",
    told.yearly(expected.alone[place]),
    blocked ? none : told.yearly(expected.last[place]),
    blocked ? none : yearsOf(told, pays),
  ];
}

const ROOM = 1.3;
const MOST_MARKS = 4;

/** Where the parts of a plan's promised and real saving begin and end on one scale. */
export function barsOf(expected, on) {
  const shares = on.map((place) => Math.max(expected.lines[place], 0));
  const total = sum(shares);
  const ratio = total > 0 ? Math.max(expected.saving, 0) / total : 0;
  const end = ROOM * Math.max(expected.oneByOne, expected.saving, 1);
  const place = (amount) => roundEven((10000 * amount) / end) / 100;
  const ends = (lengths) => {
    let at = 0;
    return on.map((fix, number) => {
      at += lengths[number];
      return [fix, place(at - lengths[number]), place(lengths[number])];
    });
  };
  return { end, place, promised: ends(on.map((one) => Math.max(expected.alone[one], 0))), real: ends(shares.map((one) => one * ratio)), marks: marksOf(end) };
}

function marksOf(end) {
  let step = 1;
  while (end / step > MOST_MARKS) {
    const power = 10 ** Math.floor(Math.log10(step) + 1e-9);
    step = [2, 5, 10].map((one) => one * power).find((one) => one > step);
  }
  return Array.from({ length: Math.floor(end / step) + 1 }, (_, place) => step * place);
}

function pictureAtHome(told, plan, expected, { bars, saves }) {
  const named = (list) => list.map(([place, left, width]) => [told.house.keys[place], left, width]);
  const { alone } = expected;
  const row = (place) => [told.words.titles[place], told.yearly(alone[place]), saves[place]];
  return {
    sentence: pairSentence(told, plan, expected),
    less: lessAtHome(told, plan, expected),
    promised: named(bars.promised),
    real: named(bars.real),
    parts: Object.fromEntries(plan.on.map((place) => {
      const [title, one, share] = row(place);
      return [told.house.keys[place], told.tell("picture.part", { title, alone: one, share })];
    })),
    ends: [expected.oneByOne, expected.saving].map((amount) => bars.place(Math.max(amount, 0))),
    amounts: [told.yearly(expected.oneByOne), told.yearly(expected.saving)],
    columns: told.words.texts.picture.columns,
    marks: bars.marks.map((mark) => [dollarsOf(mark), bars.place(mark)]),
    table: plan.on.map(row),
  };
}

function pairSentence(told, plan, expected) {
  if (!plan.on.length) return told.tell("picture.none");
  if (plan.on.length === 1) {
    return told.tell(expected.saving < -0.5 ? "picture.one_more" : "picture.one", { saving: dollarsOf(Math.abs(expected.saving)) });
  }
  const [alone, together] = [expected.oneByOne, expected.saving].map(dollarsOf);
  const lost = expected.oneByOne - expected.saving;
  if (alone === together || Math.abs(lost) < 1) return told.tell("picture.even", { alone, together });
  return told.tell(lost > 0 ? "picture.lost" : "picture.won", { alone, together, why: whyAtHome(told, plan, lost) }).trim();
}

/** Why the two that overlap, or help each other, most do so. */
function whyAtHome(told, plan, lost) {
  const { house, words } = told;
  let most = 0;
  let why = "";
  plan.on.forEach((first, at) => plan.on.slice(at + 1).forEach((second) => {
    const both = house.pairs[first][second];
    if (both * lost <= 0 || Math.abs(both) <= most) return;
    most = Math.abs(both);
    why = words.reasons[house.why[both > 0 ? 0 : 1][first][second]];
  }));
  return why;
}

function lessAtHome(told, plan, expected) {
  if (!plan.on.length) return [told.tell("picture.less_none")];
  const [alone, together] = [expected.oneByOne, expected.saving].map(dollarsOf);
  const calculated = dollarsOf(sum(plan.on.map((place) => told.house.alone[place])));
  const overlap = plan.on.length > 1 && expected.oneByOne > expected.saving && alone !== together;
  return [
    ...(overlap ? [told.tell("picture.less_overlap", { alone, together })] : []),
    told.tell("picture.less_calculated", { calculated, together }),
  ];
}

/** The range of a plan, in words and as places on the scale; that of a plan to start from is the page's own. */
export function sureAtHome(told, plan) {
  if (!plan.on.length) return {};
  const ticked = keysAt(told, plan.on);
  const known = told.words.known.find((one) => one.ticked.join() === ticked.join());
  if (known) return known;
  const expected = expectedOf(told.house, plan);
  const { end, place } = barsOf(expected, plan.on);
  const range = rangeOf(told.house, plan);
  const [low, high] = range.saving.map(dollarsOf);
  return {
    ticked,
    saves: told.tell("home.about", { amount: told.tell("form.between", { low, high }) }),
    pays: paysRange(told, range.payback),
    sentence: told.tell("picture.range", { low, high }),
    places: range.saving.map((amount) => place(Math.min(Math.max(amount, 0), end))),
  };
}

/** How soon a plan pays for itself, of the best and the worst likely case. @param {any} told @param {number[]} years */
function paysRange(told, [low, high]) {
  const [first, last] = [low, high].map((span) => yearsOf(told, span));
  if (Number.isFinite(high) && low >= 0.5 && roundEven(low) < roundEven(high) && roundEven(high) <= 60) {
    return told.tell("strip.pays_range", { low: roundEven(low), high: roundEven(high) });
  }
  return first === last ? "" : told.tell("form.between", { low: first, high: last });
}

/** Safety notes of a plan, the gravest tier first. */
export function cautionsAtHome(told, plan) {
  const little = plan.air < told.house.minimumAir;
  return told.words.cautions
    .filter((note) => note.house || (note.fixes.some((place) => plan.on.includes(place)) && (!note.below || little)))
    .map((note) => {
      const raisers = note.fixes.filter((place) => plan.on.includes(place));
      const belongs = raisers.length ? told.tell("row.caution_because", { names: told.names(raisers) }) : told.tell("row.caution_house");
      return { ...note, belongs, air: note.air ? told.tell("plan.air", { air: flowOf(told, plan.air), minimum: flowOf(told, told.house.minimumAir) }) : "" };
    });
}

function flowOf(told, cfm) {
  const [factor, unit] = told.words.flow;
  return `${grouped(roundEven(cfm * factor))} ${unit}`;
}

/** The plan as steps by phase. */
export function planAtHome(told, plan) {
  const { house, words, tell } = told;
  const empty = { ticked: [], lead: tell("plan.none"), settle: [], phases: [], needed: [], own: [], total: "", pace: "", cautions: [] };
  if (!plan.on.length) return empty;
  const expected = expectedOf(house, plan);
  const { order, phases, held } = workOrder(house, [...plan.on].sort((a, b) => a - b));
  const parts = [0, 1, 2].map((which) => leftToPay(house, pricesOf(house, plan.on, which)));
  const costs = new Map(order.map((place) => [place, parts.map((part) => part[place])]));
  const phaseOf = (place) => (house.settles[place] ? 0 : phases.get(place));
  const steps = [...order].sort((a, b) => phaseOf(a) - phaseOf(b));
  const saves = shownLines(expected, plan.on);
  const prices = new Map(addingUp(steps.map((place) => costs.get(place)[1]), rounded(plan.cost[1])).map((one, at) => [steps[at], one]));
  const shown = { saves, prices };
  const rows = steps.map((place, at) => stepAtHome(told, { place, at: at + 1, steps, shown, cost: costs.get(place), waits: held.has(place), plan }));
  addYears(house, rows);
  const titled = words.phases.map((title, phase) => ({ title, rows: rows.filter((_, at) => phaseOf(steps[at]) === phase) }));
  return {
    ticked: keysAt(told, plan.on),
    lead: firstAtHome(told, steps.filter((place) => !held.has(place)), shown),
    settle: words.hazards.filter(({ settlers }) => !settlers.some((place) => plan.on.includes(place))),
    phases: titled.filter((phase) => phase.rows.length),
    needed: neededBeside(told, plan, expected),
    own: words.own,
    total: totalAtHome(told, plan, { expected, shown, held }),
    pace: paceAtHome(told, plan),
    cautions: cautionsAtHome(told, plan),
  };
}

// Years at an even pace; what waits until something is settled has none.
function addYears(house, rows) {
  let spent = 0;
  for (const row of rows) {
    spent += row.waits ? 0 : row.likely;
    row.year = row.waits ? "" : String(Math.max(1, Math.ceil((spent - 0.005) / house.yearly)));
  }
}

function paceAtHome(told, plan) {
  const { house, tell } = told;
  const said = tell("plan.pace", { yearly: dollarsOf(house.yearly) });
  if (plan.cost[1] < house.leastLoan) return said;
  const payment = dollarsOf(plan.cost[1] * house.loan.perDollar);
  return `${said} ${tell("plan.loan", { payment, rate: house.loan.percent, years: house.loan.years })}`;
}

function totalAtHome(told, plan, { expected, shown, held }) {
  const total = told.tell("plan.total", { cost: priceRange(told, plan.cost), saving: aboutIf(told, plan, dollarsOf(expected.saving)) });
  if (!held.size) return total;
  const ready = plan.on.filter((place) => !held.has(place));
  const amounts = { cost: asRounded(sum(ready.map((place) => shown.prices.get(place)))), saving: asRounded(sum(ready.map((place) => shown.saves[place]))) };
  return `${total} ${ready.length ? told.tell("plan.now", amounts) : told.tell("plan.none_now")}`;
}

/** What the house needs for health or to last, beside the plan. */
function neededBeside(told, plan, expected) {
  const { house } = told;
  const little = plan.air < house.minimumAir;
  return house.keys.map((_, place) => place)
    .filter((place) => (house.lacking[place] || (little && place === house.fan)) && !plan.on.includes(place) && !plan.rows[place].blocked.length)
    .map((place) => {
      const saves = expected.last[place];
      return told.tell(saves > -0.5 ? "plan.needed_one" : "plan.needed_more", {
        title: told.words.titles[place], saving: dollarsOf(Math.abs(saves)), cost: priceRange(told, plan.rows[place].cost),
      });
    });
}

function firstAtHome(told, ready, shown) {
  const { hazards, stopped } = told.words;
  if (stopped || !ready.length) {
    return hazards.length ? told.tell("plan.first_settle", { title: lower(hazards[0].title) }) : told.tell("plan.steps");
  }
  const saves = shown.saves[ready[0]];
  return told.tell(saves > -0.5 ? "plan.first_step" : "plan.first_step_more", {
    title: told.name(ready[0]), saving: asRounded(Math.abs(saves)), cost: amountOf(told, shown.prices.get(ready[0]), asRounded),
  });
}

function stepAtHome(told, { place, at, steps, shown, cost, waits, plan }) {
  const { house, words, tell } = told;
  const holds = words.holds[place];
  const after = house.earlier[place].filter((one) => plan.on.includes(one)).map((one) => steps.indexOf(one) + 1).sort((a, b) => a - b);
  const little = plan.air < house.minimumAir;
  const notes = words.cautions.filter((note) => note.fixes.includes(place) && (!note.below || little));
  const said = [
    ...(holds.length ? [tell("plan.waits", { titles: holds.join("; ") })] : []),
    ...(after.length ? [tell(after.length > 1 ? "plan.after_steps" : "plan.after_step", { places: after.join(", ") })] : []),
  ];
  return {
    key: house.keys[place], place: at, title: words.titles[place], who: words.who[place], cost: amountOf(told, shown.prices.get(place), asRounded), likely: cost[1],
    saves: told.yearly(shown.saves[place], asRounded), before: said, notes: notes.map((note) => note.title), waits,
  };
}

/** The house with its bill by part, in dollars and in heat. */
export function drawingAtHome(told, plan) {
  const picked = {};
  for (const part of told.words.parts.shown) {
    const keys = told.words.parts.fixes[part];
    const on = keys.filter((place) => plan.on.includes(place)).length;
    picked[part] = keys.length ? told.tell("house.part_picked", { on, count: keys.length }) : told.tell("house.part_nothing");
  }
  const then = plan.on.length ? partsThen(told, plan) : null;
  return { dollars: inDollars(told, then), heat: inHeat(told, then), picked };
}

function partsThen(told, plan) {
  const { house } = told;
  const { ratio } = expectedOf(house, plan);
  const numbers = guess(house, plan.on);
  const start = guess(house, []);
  // the guess for nothing picked takes its own error out; what is left of the whole goes to the rooms
  const bill = house.bill.map((_, at) => house.billNow[at] + numbers[at] - start[at]);
  bill[0] += house.before - plan.saved - sum(bill);
  const heat = house.losing.map((_, at) => {
    const place = house.bill.length + 1 + at;
    return house.heatNow[at] + numbers[place] - start[place];
  });
  const whole = sum(heat);
  const parts = Object.fromEntries(house.losing.map((part, at) => [part, whole > 0 ? (bill[0] * heat[at]) / whole : 0]));
  house.bill.slice(1, -1).forEach((name, at) => { parts[name] = bill[at + 1]; });
  const toward = (now, later) => now + (later - now) * ratio;
  const names = Object.keys(house.paidNow);
  return {
    parts: Object.fromEntries(names.map((name) => [name, toward(house.paidNow[name], parts[name])])),
    fixed: toward(house.billNow[house.bill.length - 1], bill[bill.length - 1]),
    whole: toward(house.before, house.before - plan.saved),
    heat: Object.fromEntries(house.losing.map((part, at) => [part, heat[at]])),
  };
}

const WIDEST = 46;

/** What is paid most for: heating as one use, and through what most of it leaves. */
function dollarSentence(told, bill, later) {
  const { house, words, tell } = told;
  const heating = "all heat";
  const paid = { [heating]: sum(house.losing.map((part) => bill.parts[part])) };
  house.bill.slice(1, -1).forEach((name) => { paid[name] = bill.parts[name]; });
  const largest = (list, of) => [...list].sort((a, b) => of[b] - of[a]);
  const blanks = (list, of) => Object.fromEntries(["first", "second", "third"].slice(0, list.length).flatMap((place, at) => [
    [place, list[at] === heating ? tell("house.heating") : words.parts.names[list[at]]], [`${place}_amount`, asRounded(of[list[at]])],
  ]));
  const most = largest(Object.keys(paid), paid).slice(0, 3);
  const leaving = largest(house.losing, bill.parts).slice(0, 2);
  return [
    tell("house.sentence", blanks(most, paid)),
    ...(most.includes(heating) ? [tell("house.sentence_heat", blanks(leaving, bill.parts))] : []),
    ...(later ? [tell("house.sentence_plan", { now: asRounded(bill.whole), after: asRounded(later.whole) })] : []),
  ].join(" ");
}

function inDollars(told, then) {
  const { house, words } = told;
  const now = house.paidNow;
  const widest = Math.max(...house.losing.map((part) => Math.abs(now[part]))) || 1;
  const scaled = (paid) => Object.fromEntries(house.losing.map((part) => [part, (WIDEST * paid[part]) / widest]));
  const bill = asShown(now, house.billNow[house.bill.length - 1], rounded(house.before));
  const later = then ? asShown(then.parts, then.fixed, shownAfter(house.before, then.whole)) : null;
  const amount = (part) => {
    const name = part === "heating" ? "cooling" : part;
    return name in now ? [bill.parts[name], later ? later.parts[name] : null] : null;
  };
  return {
    sentence: dollarSentence(told, bill, later),
    parts: drawnParts(told, scaled(now), then ? scaled(then.parts) : null, { amount, written: asRounded }),
    columns: words.texts.house.columns_dollars, rows: billRows(told, bill, later || bill),
  };
}

// A bill rounded as it is shown, so that its parts add up to a whole that was rounded before.
function asShown(parts, fixed, whole) {
  const shown = addingUp([...Object.values(parts), fixed], whole);
  return { parts: Object.fromEntries(Object.keys(parts).map((part, at) => [part, shown[at]])), fixed: shown.at(-1), whole };
}

function billRows({ words, tell }, now, then) {
  const rows = Object.keys(now.parts)
    .filter((part) => now.parts[part] || then.parts[part])
    .map((part) => [words.parts.names[part], now.parts[part], then.parts[part]]);
  if (now.fixed) rows.push([tell("house.fixed"), now.fixed, then.fixed]);
  rows.push([tell("house.all"), now.whole, then.whole]);
  return rows.map(([name, ...amounts]) => [name, ...amounts.map(asRounded)]);
}

const percent = (share) => `${roundEven(share).toFixed(0)}%`;

function inHeat(told, then) {
  const { house, words, tell } = told;
  const now = Object.fromEntries(house.losing.map((part, at) => [part, house.heatNow[at]]));
  const later = then ? then.heat : null;
  const largest = [...house.losing].sort((a, b) => now[b] - now[a]);
  const blanks = {};
  ["first", "second", "third"].forEach((place, at) => {
    blanks[place] = words.parts.names[largest[at]];
    blanks[`${place}_share`] = percent(now[largest[at]]);
  });
  let sentence = tell("house.heat_sentence", blanks);
  if (later) {
    const less = sum(Object.values(now)) - sum(Object.values(later));
    sentence += ` ${tell(less >= 0 ? "house.heat_sentence_plan" : "house.heat_sentence_more", { less: percent(less), more: percent(-less) })}`;
  }
  const amount = (part) => (part in now ? [now[part], later ? later[part] : null] : null);
  const rows = house.losing
    .filter((part) => Math.abs(now[part]) >= 0.05)
    .map((part) => [words.parts.names[part], percent(now[part]), percent((later || now)[part])]);
  return { sentence, parts: drawnParts(told, now, later, { amount, written: percent }), columns: words.texts.house.columns_heat.slice(0, 3), rows };
}

function drawnParts(told, now, then, { amount, written }) {
  const { words, tell } = told;
  return Object.fromEntries(words.parts.shown.map((part) => {
    const anchor = words.parts.anchors[part];
    const streams = anchor
      ? { before: arrowOf(anchor, now[part] || 0, then ? -1 : 0), after: then ? arrowOf(anchor, then[part] || 0, 1) : "" }
      : { before: "", after: "" };
    const numbers = amount(part);
    const name = words.parts.names[part];
    if (!numbers) return [part, { ...streams, numbers: "", label: name }];
    const title = name.slice(0, 1).toUpperCase() + name.slice(1);
    const [first, last] = numbers.map((one) => (one === null ? null : written(one)));
    if (last === null || first === last) return [part, { ...streams, numbers: first, label: tell("house.part_dollars", { part: title, amount: first }) }];
    return [part, { ...streams, numbers: `${first} \u2192 ${last}`, label: tell("house.part_dollars_plan", { part: title, now: first, then: last }) }];
  }));
}

const ARROW = 42;

/** Corners of an arrow as wide as what leaves; nothing where there is none. */
export function arrowOf({ start, direction }, share, side) {
  if (share < 0.25) return "";
  const half = Math.max(share * 0.55, 1.5) / 2;
  const [dx, dy] = direction;
  const x = start[0] + Math.abs(dy) * side * (half + 1);
  const y = start[1] + Math.abs(dx) * side * (half + 1);
  const neck = ARROW - Math.min(12, half + 5);
  const corner = (along, aside) => `${(x + dx * along - dy * aside).toFixed(1)},${(y + dy * along + dx * aside).toFixed(1)}`;
  const flare = half + 4;
  return [
    corner(0, -half), corner(neck, -half), corner(neck, -flare), corner(ARROW, 0), corner(neck, flare), corner(neck, half), corner(0, half),
  ].join(" ");
}

/** Kept plans side by side. */
export function choicesAtHome(told, kept) {
  const { house, tell } = told;
  const plans = kept.map(({ ticked }) => planOf(house, ticked.map((key) => house.places.get(key)).sort((a, b) => a - b)));
  const expected = plans.map((plan) => expectedOf(house, plan));
  const blanks = { years: house.years, minimum: flowOf(told, house.minimumAir) };
  const cells = {
    cost: plans.map((plan) => priceOf(told, plan.cost)),
    saving: plans.map((plan, at) => aboutIf(told, plan, told.yearly(expected[at].saving))),
    payback: plans.map((plan, at) => (plan.on.length ? yearsOf(told, expected[at].payback) : tell("form.none"))),
    net: plans.map((plan) => dollarsOf(plan.net)),
    air: plans.map((plan) => flowOf(told, plan.air)),
    cautions: plans.map((plan) => String(cautionsAtHome(told, plan).length)),
  };
  const chosen = house.keys.map((_, place) => place).filter((place) => plans.some((plan) => plan.on.includes(place)));
  const fixes = chosen.map((place) => [told.words.titles[place], ...plans.map((plan) => tell(plan.on.includes(place) ? "file.yes" : "file.no"))]);
  const numbers = Object.entries(cells).map(([name, row]) => [tell(`compare.${name}`, blanks), ...row]);
  return {
    names: kept.map(({ name }) => name), ticked: kept.map(({ ticked }) => ticked),
    columns: ["", ...kept.map(({ name }) => name)], rows: kept.length ? [...numbers, ...fixes] : [],
  };
}
