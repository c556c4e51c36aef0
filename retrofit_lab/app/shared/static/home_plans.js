// Many plans of one house at once, for the questions at home that compare them: every part of a plan, a plan over the
// years, the best of the plans that were worked out ahead. Knows no words and no page.
import {
  addBent, alongNothing, bytesOf, guessedBill, leftToPay, needlessFor, payback, stepAlong, sum, unpacked, waiting, workOrder,
} from "./home_numbers.js";

const MOST_GROUPS = 16;
const SLACK = 1e-9;
const IMPATIENCE = 1e-6;

const bitsOf = (list) => list.reduce((number, bit) => number | (1 << bit), 0);

/** Fixes one by one; where they are too many, the cheapest that wait for no other together. */
export function groupsOf(house, on) {
  const together = [];
  let single = [...on];
  while (single.length + (together.length ? 1 : 0) > MOST_GROUPS) {
    const ready = single.filter((place) => !house.earlier[place].some((one) => single.includes(one)));
    const cheapest = ready.reduce((least, one) => (house.cost[one][1] < house.cost[least][1] ? one : least));
    together.push(cheapest);
    single = single.filter((place) => place !== cheapest);
  }
  return [...(together.length ? [together] : []), ...single.map((place) => [place])];
}

/** Adds to each set what its subsets have. */
function addSubsets(values, count) {
  for (let bit = 1; bit < 1 << count; bit <<= 1) {
    for (let set = 0; set < values.length; set += 1) if (set & bit) values[set] += values[set ^ bit];
  }
  return values;
}

/** Number of each set in the tables of those fixes that were worked out in every combination. */
function numbersOf(house, groups) {
  const own = groups.map((group) => sum(group.map((place) => (house.few.has(place) ? 2 ** house.few.get(place) : 0))));
  const numbers = new Int32Array(1 << groups.length);
  own.forEach((number, bit) => { numbers[1 << bit] = number; });
  return addSubsets(numbers, groups.length);
}

/** Guessed bill of every set of some groups. */
function guessedOf(house, groups) {
  const bit = new Map(groups.flatMap((group, at) => group.map((place) => [place, at])));
  const parts = house.bill.map(() => new Float64Array(1 << groups.length));
  const width = house.scales.length;
  house.terms.forEach((term, row) => {
    if (!term.every((place) => bit.has(place))) return;
    const set = bitsOf(term.map((place) => bit.get(place)));
    parts.forEach((values, number) => { values[set] += house.weights[row * width + number]; });
  });
  parts.forEach((values) => addSubsets(values, groups.length));
  return withBends(house, groups, parts);
}

// From set to set only one group comes or goes, so that the sums are never made anew.
function withBends(house, groups, parts) {
  const along = alongNothing(house);
  const bills = new Float64Array(parts[0].length);
  const roots = new Float64Array(parts.length);
  for (let turn = 0, set = 0; turn < bills.length; turn += 1) {
    for (let number = 0; number < roots.length; number += 1) roots[number] = parts[number][set];
    addBent(house, along, roots);
    bills[set] = guessedBill(house, roots);
    const moved = 31 - Math.clz32((turn + 1) & -(turn + 1));
    if (moved >= groups.length) break;
    set ^= 1 << moved;
    groups[moved].forEach((place) => stepAlong(house, along, place, (set >> moved) & 1 ? 1 : -1));
  }
  return bills;
}

/** Guessed bill of what of every set was worked out in every combination. */
function insideOf(house, groups) {
  const inside = groups.map((group) => group.filter((place) => house.few.has(place)));
  const some = inside.filter((group) => group.length);
  const bills = guessedOf(house, some);
  const numbers = new Int32Array(1 << groups.length);
  inside.forEach((group, at) => { numbers[1 << at] = group.length ? 1 << some.indexOf(group) : 0; });
  return Float64Array.from(addSubsets(numbers, groups.length), (number) => bills[number]);
}

/** What every set of some groups saves, as calculated. [dollars/year] */
function savedOf(house, groups) {
  const saved = Float64Array.from(numbersOf(house, groups), (number) => house.savedOf[number]);
  if (groups.every((group) => group.every((place) => house.few.has(place)))) return saved;
  const inside = insideOf(house, groups);
  const whole = guessedOf(house, groups);
  saved.forEach((one, set) => { saved[set] = one + inside[set] - whole[set]; });
  groups.forEach((group, at) => { if (group.length === 1) saved[1 << at] = house.alone[group[0]]; });
  return saved;
}

/** The rules of money for some fixes alone, by their places among these. */
function moneyOf(house, places) {
  const at = new Map(places.map((place, row) => [place, row]));
  const mine = (list) => list.filter((place) => at.has(place)).map((place) => at.get(place));
  const visits = house.visits.map(({ measures, setups }) => ({
    measures: mine(measures), setups: setups.filter((_, row) => at.has(measures[row])),
  }));
  const rebates = house.rebates.filter(({ measures }) => !measures.length || mine(measures).length)
    .map((rebate) => ({ ...rebate, measures: mine(rebate.measures) }));
  const anyway = house.anyway.map((purchase) => ({ ...purchase, measures: mine(purchase.measures) }));
  const column = (name) => places.map((place) => house[name][place]);
  return { visits: visits.filter(({ measures }) => measures.length > 1), rebates, anyway, first: column("first"), later: column("later") };
}

/**
 * Every set of some groups of fixes: first cost, what it saves as calculated, and what it is worth over the years.
 * @param {any} house
 * @param {number[][]} groups
 */
export function setsOf(house, groups) {
  const places = groups.flat();
  const money = moneyOf(house, places);
  const price = places.map((place) => house.cost[place][1]);
  const group = groups.flatMap((some, at) => some.map(() => at));
  const saved = savedOf(house, groups);
  const cost = new Float64Array(saved.length);
  const net = new Float64Array(saved.length);
  for (let set = 0; set < saved.length; set += 1) {
    const prices = price.map((one, row) => ((set >> group[row]) & 1 ? one : 0));
    const left = leftToPay(money, prices);
    let worth = -sum(needlessFor(money, prices).map((purchase) => purchase.worth));
    left.forEach((one, row) => {
      cost[set] += one;
      worth += one * money.first[row] + prices[row] * money.later[row];
    });
    net[set] = saved[set] * house.worth - worth;
  }
  return { groups, cost, saved, net, allowed: allowedOf(house, groups) };
}

/** Sets in which no fix lacks what it needs; a plan holds no two that exclude each other. */
function allowedOf(house, groups) {
  const at = new Map(groups.flatMap((group, bit) => group.map((place) => [place, bit])));
  const needs = groups.map((group) => bitsOf(group.flatMap((place) => house.needs[place]).map((place) => at.get(place))));
  return Uint8Array.from({ length: 1 << groups.length }, (_, set) => Number(needs.every((need, bit) => !((set >> bit) & 1) || (need & ~set) === 0)));
}

const membersOf = (sets, number) => sets.groups.filter((_, bit) => (number >> bit) & 1).flat().sort((a, b) => a - b);

/** Fixes of a plan that its best part leaves out, with what each brings to that part, the worst first. */
export function regrettedOf(sets) {
  let best = 0;
  for (let set = 1; set < sets.net.length; set += 1) if (sets.allowed[set] && better(sets, set, best)) best = set;
  const adds = (column, bit) => sets[column][best | (1 << bit)] - sets[column][best];
  return sets.groups.map((on, bit) => ({ on, bit })).filter(({ bit }) => !((best >> bit) & 1))
    .map(({ on, bit }) => ({ on, cost: adds("cost", bit), saved: adds("saved", bit), net: adds("net", bit) }))
    .sort((a, b) => a.net - b.net);
}

// Of sets that are worth the same the cheaper one is best.
function better(sets, one, other) {
  const margin = SLACK * Math.max(1, Math.abs(sets.net[other]));
  const more = sets.net[one] - sets.net[other];
  return more > margin || (more >= -margin && sets.cost[one] < sets.cost[other]);
}

/** For each group those that should not be done in a later year than it. */
function afterOf(house, groups) {
  const earlier = groups.map((group) => new Set(group.flatMap((place) => house.earlier[place])));
  return groups.map((_, at) => groups.flatMap((other, number) => (number !== at && other.some((place) => earlier[at].has(place)) ? [number] : [])));
}

function inOrder(after) {
  const waits = after.map((_, at) => at);
  const done = [];
  while (waits.length) {
    const ready = waits.find((at) => !after[at].some((one) => waits.includes(one)));
    waits.splice(waits.indexOf(ready), 1);
    done.push(ready);
  }
  return done;
}

/** What it is worth to have each set a year sooner: its saving, and a trifle for each dollar spent. */
function usefulOf(sets) {
  const all = sets.saved.length - 1;
  const raises = sets.groups.map((_, bit) => Math.max(-Math.min(sets.saved[1 << bit], sets.saved[all] - sets.saved[all ^ (1 << bit)]), 0));
  const extra = new Float64Array(sets.saved.length);
  raises.forEach((one, bit) => { extra[1 << bit] = one; });
  addSubsets(extra, sets.groups.length);
  return extra.map((one, set) => sets.saved[set] + one + IMPATIENCE * sets.cost[set]);
}

/** For each set the best worth among its subsets from which it can be reached, and which one that is. */
function bestSubsets(worth, order, followers) {
  const best = Float64Array.from(worth);
  const origin = Int32Array.from(worth, (_, set) => set);
  for (const bit of order) {
    for (let set = 0; set < best.length; set += 1) {
      if (!((set >> bit) & 1) || set & followers[bit]) continue;
      const without = set ^ (1 << bit);
      if (best[without] <= best[set]) continue;
      best[set] = best[without];
      origin[set] = origin[without];
    }
  }
  return { best, origin };
}

/**
 * A plan over the years, each fix as soon as the money reaches it, those that save most first.
 * @param {any} house
 * @param {number[]} on places of the plan's fixes
 * @param {number[]} budgets money that comes in each year; what is left stays
 */
export function overYears(house, on, budgets) {
  const sets = setsOf(house, groupsOf(house, on));
  const after = afterOf(house, sets.groups);
  const path = wayTo(sets, { after, budgets, weights: weightsOf(budgets.length, house.rate) });
  let money = 0;
  const years = budgets.map((budget, at) => {
    const [old, now] = [path[at], path[at + 1]];
    money += budget;
    return {
      year: at + 1, on: workOrder(house, membersOf(sets, now & ~old)).order, spent: sets.cost[now] - sets.cost[old],
      left: Math.max(0, money - sets.cost[now]), saved: sets.saved[now],
    };
  });
  const last = path[path.length - 1];
  const missed = membersOf(sets, (sets.saved.length - 1) & ~last);
  const held = [...waiting(house, on)].sort((a, b) => a - b);
  return {
    years: years.map((year, at) => withGoal(house, years, year, at)), missed: workOrder(house, missed).order,
    held: workOrder(house, held).order, sorry: regrettedOf(sets).flatMap((one) => one.on),
  };
}

/** Sets year by year, the empty one first. */
function wayTo(sets, { after, budgets, weights }) {
  const followers = sets.groups.map((_, at) => bitsOf(after.flatMap((earlier, later) => (earlier.includes(at) ? [later] : []))));
  const order = inOrder(after);
  const useful = usefulOf(sets);
  let worth = new Float64Array(sets.saved.length).fill(-Infinity);
  worth[0] = 0;
  let money = 0;
  const origins = budgets.map((budget, year) => {
    money += budget;
    const { best, origin } = bestSubsets(worth, order, followers);
    worth = best.map((one, set) => (sets.allowed[set] && sets.cost[set] <= money * (1 + SLACK) ? one + weights[year] * useful[set] : -Infinity));
    return origin;
  });
  const all = worth.length - 1;
  const last = Number.isFinite(worth[all]) ? all : worth.reduce((most, one, set) => (one > worth[most] ? set : most), 0);
  return origins.reduceRight((path, origin) => [origin[path[0]], ...path], [last]);
}

/** Weight of what each year has, so that a step counts from its own year on. */
function weightsOf(years, rate) {
  const worth = Array.from({ length: years }, (_, year) => (1 + rate) ** -year);
  return worth.map((one, year) => (year + 1 < years ? Math.max(one - worth[year + 1], IMPATIENCE) : one));
}

/** A year with what its money is kept for: the most expensive of what is done next. */
function withGoal(house, years, year, at) {
  const coming = years.slice(at + 1).find((other) => other.on.length);
  if (!coming || coming.spent <= year.left) return { ...year, goal: -1, lacks: 0 };
  const goal = coming.on.reduce((most, one) => (house.cost[one][1] > house.cost[most][1] ? one : most));
  return { ...year, goal, lacks: coming.spent - year.left };
}

/** Plans that were worked out ahead, unpacked. */
export function plansAhead(house, { masks, cost, saved, net, co2 }) {
  const bytes = bytesOf(masks);
  const width = Math.ceil(house.keys.length / 8);
  const columns = [cost, saved, net, co2].map((text) => unpacked(text, "getFloat32", 4));
  const has = (row, place) => (bytes[row * width + (place >> 3)] >> (7 - (place & 7))) & 1;
  return Array.from(columns[0], (_, row) => {
    const [first, yearly, worth, carbon] = columns.map((values) => values[row]);
    return { on: house.keys.map((__, place) => place).filter((place) => has(row, place)), cost: first, saved: yearly, net: worth, co2: carbon };
  });
}

const AIMS = [(plan) => plan.net, (plan) => plan.co2, (plan) => plan.saved, (plan) => -plan.cost];

/** The best of the plans that were worked out ahead, within limits; null where none keeps them. */
export function bestAhead(plans, { cost = Infinity, years = Infinity, saving = -Infinity, aim = 0 }) {
  const fine = plans.filter((plan) => plan.cost <= cost * (1 + 1e-6) && plan.saved >= saving - 1e-6 * Math.abs(saving)
    && (!Number.isFinite(years) || payback(plan.cost, plan.saved) <= years * (1 + 1e-6)));
  return fine.reduce((best, plan) => (best && !ahead(plan, best, AIMS[aim]) ? best : plan), null);
}

function ahead(plan, other, worth) {
  const more = worth(plan) - worth(other);
  const close = 1e-6 * Math.max(1, Math.abs(worth(other)));
  return more > close || (more >= -close && (plan.cost < other.cost || (plan.cost === other.cost && plan.on.length < other.on.length)));
}
