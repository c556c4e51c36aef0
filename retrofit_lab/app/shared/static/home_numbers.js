// Numbers of any plan of one house without the model: looked up where every combination was worked out, guessed elsewhere.
// Knows no words and no page.

/** @param {string} text */
export function bytesOf(text) {
  const raw = atob(text);
  return Uint8Array.from(raw, (letter) => letter.charCodeAt(0));
}

/**
 * Numbers that Python packed.
 * @param {string} text
 * @param {"getInt32" | "getUint16" | "getInt16" | "getFloat32"} read
 * @param {number} width bytes of one
 */
export function unpacked(text, read, width) {
  const view = new DataView(bytesOf(text).buffer);
  return Float64Array.from({ length: view.byteLength / width }, (_, place) => view[read](place * width, true));
}

export const sum = (list) => list.reduce((total, one) => total + one, 0);

/** @param {any} data what `home_numbers` of Python packed */
export function homeNumbers(data) {
  const saved = unpacked(data.saved, "getInt32", 4).map((steps) => steps * data.step);
  const air = unpacked(data.air, "getUint16", 2).map((tenths) => tenths / 10);
  const weights = unpacked(data.weights, "getFloat32", 4);
  const bends = { sums: unpacked(data.bends.sums, "getFloat32", 4), adds: unpacked(data.bends.adds, "getFloat32", 4) };
  const places = new Map(data.keys.map((key, place) => [key, place]));
  const few = new Map(data.few.map((place, bit) => [place, bit]));
  return { ...data, places, few, savedOf: saved, airOf: air, weights, bends, guessed: new Map() };
}

/** Number of a plan in the tables, by those of its fixes that are in them. */
function numberOf(house, on) {
  let number = 0;
  for (const place of on) {
    const bit = house.few.get(place);
    if (bit !== undefined) number += 2 ** bit;
  }
  return number;
}

/** Whether every combination of a plan's fixes was worked out. */
export const isExact = (house, on) => on.every((place) => house.few.has(place));

/** Where the sums of measures stand that the guess bends, before any fix. */
export function alongNothing(house) {
  const count = house.bends.sums.length / (house.keys.length + 1);
  return house.bends.sums.slice(house.keys.length * count);
}

/** A fix comes into the sums, or goes out of them. */
export function stepAlong(house, along, place, sign = 1) {
  const from = place * along.length;
  for (let at = 0; at < along.length; at += 1) along[at] += sign * house.bends.sums[from + at];
}

/** Adds to the guessed roots what the bent sums tell. */
export function addBent(house, along, roots) {
  const { adds } = house.bends;
  const count = house.scales.length;
  for (let at = 0; at < along.length; at += 1) {
    const bent = along[at] / Math.sqrt(1 + along[at] * along[at]);
    for (let number = 0; number < roots.length; number += 1) roots[number] += bent * adds[at * count + number];
  }
  for (let number = 0; number < roots.length; number += 1) roots[number] += adds[along.length * count + number];
}

/** The guess for a plan: bill by part, outdoor air, heat by its way out; `most` numbers of it, from the first. */
export function guess(house, on, most = house.scales.length) {
  const there = new Uint8Array(house.keys.length);
  const along = alongNothing(house);
  for (const place of on) {
    there[place] = 1;
    stepAlong(house, along, place);
  }
  const count = house.scales.length;
  const roots = new Float64Array(most);
  house.terms.forEach((term, row) => {
    for (const place of term) if (!there[place]) return;
    for (let number = 0; number < most; number += 1) roots[number] += house.weights[row * count + number];
  });
  addBent(house, along, roots);
  return Array.from(roots, (root, number) => (Math.max(root, 0) / house.scales[number]) ** 2);
}

/** The bill that the guessed roots of its parts add up to. */
export function guessedBill(house, roots) {
  let bill = 0;
  for (let number = 0; number < house.bill.length; number += 1) bill += (Math.max(roots[number], 0) / house.scales[number]) ** 2;
  return bill;
}

const MOST_KEPT_GUESSES = 20000;

function billGuessed(house, on) {
  const name = [...on].sort((a, b) => a - b).join();
  let found = house.guessed.get(name);
  if (found === undefined) {
    if (house.guessed.size > MOST_KEPT_GUESSES) house.guessed.clear();
    found = sum(guess(house, on, house.bill.length));
    house.guessed.set(name, found);
  }
  return found;
}

/** What a plan saves, as calculated. [dollars/year] */
export function savedBy(house, on) {
  const known = house.savedOf[numberOf(house, on)];
  if (isExact(house, on)) return known;
  if (on.length === 1) return house.alone[on[0]];
  return known + billGuessed(house, on.filter((place) => house.few.has(place))) - billGuessed(house, on);
}

export function airWith(house, on) {
  const known = house.airOf[numberOf(house, on)];
  if (isExact(house, on)) return known;
  const place = house.bill.length;
  const inside = on.filter((one) => house.few.has(one));
  return known + guess(house, on)[place] - guess(house, inside)[place];
}

const ORDERS = 24;

/** What each fix of a plan adds, as the mean over all orders, or over some; the shares add up to the plan. */
export function fairShares(house, on) {
  return isExact(house, on) ? overAllOrders(house, on) : overSomeOrders(house, on);
}

function overAllOrders(house, on) {
  const count = on.length;
  const bits = on.map((place) => 2 ** house.few.get(place));
  const worth = new Float64Array(2 ** count);
  const places = new Int32Array(2 ** count);
  const sizes = new Uint8Array(2 ** count);
  for (let set = 1; set < worth.length; set += 1) {
    const last = 31 - Math.clz32(set);
    const rest = set - 2 ** last;
    places[set] = places[rest] + bits[last];
    sizes[set] = sizes[rest] + 1;
    worth[set] = house.savedOf[places[set]];
  }
  const weight = [1 / Math.max(count, 1)];
  for (let size = 1; size < count; size += 1) weight.push((weight[size - 1] * size) / (count - size));
  return on.map((_, bit) => {
    let share = 0;
    for (let set = 0; set < worth.length; set += 1) {
      if (!((set >> bit) & 1)) share += weight[sizes[set]] * (worth[set | (1 << bit)] - worth[set]);
    }
    return share;
  });
}

function overSomeOrders(house, on) {
  const shares = new Float64Array(on.length);
  const next = evenly(on.length + 1);
  for (let order = 0; order < ORDERS; order += 1) {
    const drawn = shuffled(on.map((_, place) => place), next);
    for (const row of [drawn, [...drawn].reverse()]) {
      let before = 0;
      row.forEach((place, at) => {
        const now = savedBy(house, row.slice(0, at + 1).map((one) => on[one]));
        shares[place] += (now - before) / (2 * ORDERS);
        before = now;
      });
    }
  }
  return Array.from(shares);
}

// The same plan gets the same orders: a small generator of our own, begun anew each time.
function evenly(seed) {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

function shuffled(list, next) {
  for (let last = list.length - 1; last > 0; last -= 1) {
    const other = Math.floor(next() * (last + 1));
    [list[last], list[other]] = [list[other], list[last]];
  }
  return list;
}

/** Take off prices what a trade saves that comes once for several fixes. */
function shareVisits(visits, left) {
  for (const { measures, setups } of visits) {
    let all = 0;
    let most = 0;
    measures.forEach((place, at) => {
      if (!(left[place] > 0)) return;
      all += setups[at];
      most = Math.max(most, setups[at]);
    });
    const again = all > 0 ? (all - most) / all : 0;
    if (again) measures.forEach((place, at) => { if (left[place] > 0) left[place] -= setups[at] * again; });
  }
}

function takeRebate({ amount, percent, cap, measures }, left) {
  const eligible = measures.length ? measures : left.map((_, place) => place);
  const price = sum(eligible.map((place) => left[place]));
  const given = Math.min((percent / 100) * price + amount, cap === null ? Infinity : cap, price);
  const share = price > 0 ? given / price : 0;
  for (const place of eligible) left[place] = Math.max(left[place] * (1 - share), 0);
}

/** Prices with visits shared, after rebates, entry by entry, each on what those before it left. */
export function leftToPay(money, prices) {
  const left = [...prices];
  shareVisits(money.visits, left);
  money.rebates.forEach((rebate) => takeRebate(rebate, left));
  return left;
}

export const pricesOf = (house, on, which) => house.keys.map((_, place) => (on.includes(place) ? house.cost[place][which] : 0));
const firstCost = (house, on, which) => sum(leftToPay(house, pricesOf(house, on, which)));
export const costOf = (house, on) => [0, 1, 2].map((which) => firstCost(house, on, which));

export const needlessFor = (money, prices) => money.anyway.filter(({ measures }) => measures.some((place) => prices[place] > 0));
const avoided = (house, prices) => sum(needlessFor(house, prices).map((purchase) => purchase.price));

/** Present worth of buying: again when something wears out, less what need not be bought any more. */
function presentCost(house, on) {
  const prices = pricesOf(house, on, 1);
  const left = leftToPay(house, prices);
  const bought = sum(house.keys.map((_, place) => left[place] * house.first[place] + prices[place] * house.later[place]));
  return bought - sum(needlessFor(house, prices).map((purchase) => purchase.worth));
}

/** Years until a plan, or one of its fixes, has paid what it costs extra. */
export function payback(extra, saved) {
  if (extra <= 0) return saved >= 0 ? 0 : Infinity;
  return saved > 0 ? extra / saved : Infinity;
}

/**
 * Everything about one plan, as the page needs it.
 * @param {any} house
 * @param {number[]} on places of its fixes, rising
 */
export function planOf(house, on) {
  const saved = savedBy(house, on);
  const cost = costOf(house, on);
  const shares = fairShares(house, on);
  const extra = Math.max(0, cost[1] - avoided(house, pricesOf(house, on, 1)));
  const whole = presentCost(house, on);
  const rows = house.keys.map((_, place) => fixBeside(house, on, { place, saved, cost, whole }));
  on.forEach((place, at) => { rows[place].share = shares[at]; });
  return {
    on, exact: isExact(house, on), saved, cost, payback: payback(extra, saved), rows,
    net: saved * house.worth - whole, air: airWith(house, on),
  };
}

function fixBeside(house, on, { place, saved, cost, whole }) {
  const there = on.includes(place);
  const other = there ? on.filter((one) => one !== place) : [...on, place].sort((a, b) => a - b);
  const sign = there ? 1 : -1;
  const now = sign * (saved - savedBy(house, other));
  const added = costOf(house, other).map((one, which) => Math.round(sign * (cost[which] - one) * 1e6) / 1e6);
  const prices = [on, other].map((set) => avoided(house, pricesOf(house, set, 1)));
  const extra = house.anyway.length ? Math.max(added[1] - sign * (prices[0] - prices[1]), 0) : added[1];
  const present = sign * (whole - presentCost(house, other));
  return {
    on: there, now, share: 0, alone: house.alone[place], cost: added, payback: payback(extra, now),
    net: now * house.worth - present, blocked: on.filter((one) => house.rivals[place].includes(one)),
  };
}

/** What of a plan comes about in real houses in the middle case; its lines add up. */
export function expectedOf(house, plan) {
  const column = (name) => plan.rows.map((row, place) => (row[name] > 0 ? row[name] * house.shares[place] : row[name]));
  const alone = column("alone");
  const last = column("now");
  const share = column("share").map((one, place) => (plan.rows[place].on ? one : 0));
  const saving = comeAbout(house, plan.saved, plan.on, house.shares);
  const total = sum(share);
  const ratio = plan.saved > 0 ? saving / plan.saved : 1;
  const lines = plan.rows.map((row, place) => {
    if (!row.on) return last[place];
    return Math.abs(total) > 1e-9 ? share[place] * (saving / total) : share[place];
  });
  return {
    saving, ratio, alone, last, lines, left: house.before - saving,
    oneByOne: sum(plan.on.map((place) => alone[place])),
    payback: ratio > 0 ? plan.payback / ratio : Infinity,
  };
}

/** What comes about of the saving of a plan; what a fix costs more is certain. */
export function comeAbout(house, saved, on, shares) {
  const gains = on.map((place) => Math.max(house.alone[place], 0));
  const costs = -sum(on.map((place) => Math.min(house.alone[place], 0)));
  const whole = sum(gains);
  if (whole === 0) return saved;
  const missing = 1 - sum(on.map((place, at) => shares[place] * (gains[at] / whole)));
  return saved - Math.max(saved + costs, 0) * missing;
}

/** The range of a plan over draws of all that is not known: each fix varies as it does alone. */
export function rangeOf(house, plan) {
  const { count, alone, costs, kinds, came } = house.draws;
  const prices = pricesOf(house, plan.on, 1);
  const left = leftToPay(house, prices);
  const less = plan.cost[1] - Math.max(0, plan.cost[1] - avoided(house, prices));
  const savings = [];
  const paybacks = [];
  for (let draw = 0; draw < count; draw += 1) {
    const saved = sum(plan.on.map((place) => plan.rows[place].share * alone[place][draw]));
    const shares = house.keys.map((_, place) => came[kinds[place]][draw]);
    const comes = comeAbout(house, saved, plan.on, shares);
    const cost = sum(plan.on.map((place) => left[place] * costs[place][draw]));
    savings.push(comes);
    paybacks.push(payback(Math.max(cost - less, 0), comes));
  }
  return { saving: ends(savings), payback: ends(paybacks) };
}

function ends(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share) => sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)];
  return [at(0.1), at(0.9)];
}

/** Fixes of a plan that cannot start: those held, and those that come after one of them. */
export function waiting(house, on) {
  const wait = new Set(on.filter((place) => house.held[place]));
  for (let before = -1; before !== wait.size;) {
    before = wait.size;
    on.forEach((place) => { if (house.earlier[place].some((one) => on.includes(one) && wait.has(one))) wait.add(place); });
  }
  return wait;
}

/** The order of work, and the phase of each fix: its own, or a later one where it waits for another. */
export function workOrder(house, on) {
  const phases = new Map();
  const before = (place) => house.earlier[place].filter((one) => on.includes(one));
  while (phases.size < on.length) {
    for (const place of on) {
      if (phases.has(place) || !before(place).every((one) => phases.has(one))) continue;
      phases.set(place, Math.max(house.phase[place], ...before(place).map((one) => phases.get(one))));
    }
  }
  const held = waiting(house, on);
  const rank = (place) => [phases.get(place), held.has(place) ? 1 : 0, house.needed[place] ? 0 : 1, -house.worthAlone[place]];
  const left = [...on];
  const order = [];
  while (left.length) {
    const ready = left.filter((place) => !before(place).some((one) => left.includes(one)));
    ready.sort((a, b) => compared(rank(a), rank(b)));
    order.push(ready[0]);
    left.splice(left.indexOf(ready[0]), 1);
  }
  return { order, phases, held };
}

function compared(first, second) {
  const place = first.findIndex((one, at) => one !== second[at]);
  return place < 0 ? 0 : first[place] - second[place];
}
