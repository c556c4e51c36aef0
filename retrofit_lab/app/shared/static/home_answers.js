// The questions of the page answered at home, in the page's own words: the same contents that a kernel sends.
import { airWith, comeAbout, costOf, expectedOf, isExact, sum, waiting, workOrder } from "./home_numbers.js";
import { bestAhead, overYears, regrettedOf, groupsOf, setsOf } from "./home_plans.js";
import { cautionsAtHome, dollarsOf, fillIn, grouped, keysAt, priceOf, roundEven, sureAtHome } from "./home_words.js";
import { lower } from "./say.js";

const MOST_NEXT = 6;
const MONTHS = 12;

/** What is worth adding to a plan. */
export function nextAtHome(told, plan) {
  const { house, words, tell } = told;
  const wait = (place) => waiting(house, [...plan.on, place]).has(place);
  const free = plan.rows.map((row, place) => ({ ...row, place })).filter((row) => !row.on && !row.blocked.length && row.net > 0 && !wait(row.place));
  free.sort((a, b) => b.net - a.net);
  const best = free.slice(0, MOST_NEXT);
  const comes = (place, saved) => told.yearly(saved > 0 ? saved * house.shares[place] : saved);
  const sorry = plan.on.length ? regrettedOf(setsOf(house, groupsOf(house, plan.on))) : [];
  const line = (what, place, { cost, saved, net }) => [tell(what), words.titles[place], dollarsOf(cost), comes(place, saved), dollarsOf(net)];
  const sentences = [best.length
    ? tell("panel.next.first", { title: told.name(best[0].place), saving: comes(best[0].place, best[0].now), cost: priceOf(told, best[0].cost) })
    : tell("panel.next.none")];
  if (sorry.length) sentences.push(tell("panel.next.sorry", { names: told.names(sorry.flatMap(({ on }) => on)) }));
  else if (plan.on.length) sentences.push(tell("panel.next.all_worth"));
  const content = { values: {}, sentences };
  const rows = [
    ...best.map((row) => line("panel.next.add", row.place, { cost: row.cost[1], saved: row.now, net: row.net })),
    ...sorry.flatMap((part) => part.on.map((place) => line("panel.next.leave", place, part))),
  ];
  const columns = words.texts.panel.next.columns.map((text) => fillIn(text, { years: house.years }));
  if (rows.length) Object.assign(content, { table: { columns, rows } });
  if (best.length) Object.assign(content, { tick: keysAt(told, [...plan.on, best[0].place]), tick_label: tell("panel.next.use") });
  return content;
}

const countOfYears = (told, years) => (years === 1 ? told.tell("form.year_one") : told.tell("form.years", { count: years }));

/** What a plan has brought by the year of a move, and the best one that pays for itself by then. */
export function moveAtHome(told, plan, values) {
  const { tell } = told;
  const years = values.years;
  const sentences = [plan.on.length ? cameBy(told, plan, years) : tell("panel.move.none")];
  const best = bestAhead(told.house.ahead, { years });
  if (!best || !best.on.length) return { values, sentences: [...sentences, tell("panel.move.best_none")] };
  const blanks = { cost: dollarsOf(best.cost), saving: dollarsOf(realOf(told, best)), years: countOfYears(told, years) };
  return {
    values, sentences: [...sentences, tell("panel.move.best", blanks), ofHowMany(told)], tick: keysAt(told, best.on), tick_label: tell("panel.move.use"),
  };
}

function cameBy(told, plan, years) {
  const { house, tell } = told;
  const again = sum(plan.on.map((place) => house.cost[place][1] * house.replaced[place].filter((year) => year <= years).length));
  const saved = expectedOf(house, plan).saving * years;
  const spent = costOf(house, plan.on)[1] + again;
  const apart = dollarsOf(Math.abs(saved - spent));
  return tell(saved >= spent ? "panel.move.ahead" : "panel.move.behind", {
    years: countOfYears(told, years), saved: dollarsOf(saved), spent: dollarsOf(spent), ahead: apart, behind: apart,
  });
}

/** What of a plan that was worked out ahead comes about in real houses. */
const realOf = (told, { on, saved }) => comeAbout(told.house, saved, on, told.house.shares);
const ofHowMany = (told) => told.tell("home.best_of", { count: grouped(told.house.ahead.length) });

/** The best plan for a budget, a payback and a saving to reach. */
export function budgetAtHome(told, plan, values) {
  const { tell } = told;
  const { budget, payback, saving, aim } = values;
  const wish = [tell("panel.budget.wish", { budget: dollarsOf(budget) })];
  if (payback) wish.push(tell("panel.budget.wish_payback", { years: countOfYears(told, payback) }));
  if (saving) wish.push(tell("panel.budget.wish_saving", { saving: dollarsOf(saving) }));
  const limits = { cost: budget, years: payback || Infinity, saving: saving || -Infinity, aim };
  return { values, ...proposed(told, bestAhead(told.house.ahead, limits), wish.join("")) };
}

/** The best plan that a loan's monthly payment allows. */
export function paymentAtHome(told, plan, values) {
  const { tell } = told;
  const { payment, rate, term } = values;
  const each = paymentOf(1, rate, term);
  const best = bestAhead(told.house.ahead, { cost: payment / each });
  const content = { values, ...proposed(told, best, tell("panel.payment.wish", { payment: dollarsOf(payment) })) };
  return { ...content, sentences: [...content.sentences, ...loanSentences(told, best, { rate, term })] };
}

/** Monthly payment on a principal. @param {number} principal @param {number} percent a year @param {number} years */
export function paymentOf(principal, percent, years) {
  const months = Math.round(MONTHS * years);
  const rate = percent / 100 / MONTHS;
  return rate > 0 ? (principal * rate) / (1 - (1 + rate) ** -months) : principal / months;
}

function loanSentences(told, best, { rate, term }) {
  const { tell } = told;
  if (!best || best.cost < 1) return [tell("panel.payment.none")];
  const payment = paymentOf(best.cost, rate, term);
  const fall = realOf(told, best) / MONTHS;
  const interest = payment * Math.round(MONTHS * term) - best.cost;
  return [
    tell("panel.payment.pays", { payment: dollarsOf(payment), fall: dollarsOf(fall) }),
    ...(payment > fall ? [tell("panel.payment.above")] : []),
    tell("panel.payment.interest", { interest: dollarsOf(interest), years: countOfYears(told, term) }),
  ];
}

/** A plan in words: what it costs and saves, what it is the best of, what to know before, and what is in it. */
function proposed(told, best, wish) {
  const { house, tell, words } = told;
  if (!best) return { sentences: [tell("panel.budget.impossible")] };
  if (!best.on.length) return { sentences: [tell("panel.budget.nothing", { wish })] };
  const blanks = { wish, cost: dollarsOf(best.cost), saving: dollarsOf(realOf(told, best)), co2: carbonOf(told, best.co2) };
  const { order, held } = workOrder(house, best.on);
  const waits = order.filter((place) => held.has(place));
  const notes = cautionsAtHome(told, { on: best.on, air: airWith(house, best.on) });
  return {
    sentences: [
      tell("panel.budget.best", blanks), ofHowMany(told),
      ...(waits.length ? [tell("panel.budget.held", { names: told.names(waits) })] : []),
      ...(notes.length ? [tell("panel.budget.cautions", { names: notes.map((note) => lower(note.title)).join("; ") })] : []),
    ],
    heading: tell("panel.budget.heading"),
    items: order.map((place) => (held.has(place) ? tell("panel.budget.waits", { title: words.titles[place] }) : words.titles[place])),
    tick: keysAt(told, order), tick_label: tell("panel.budget.use"),
  };
}

/** Carbon dioxide of a year, by tens. */
function carbonOf(told, kg) {
  const [factor, unit] = told.words.carbon;
  const tens = roundEven((kg * factor) / 10) * 10;
  return `${tens < 0 ? "-" : ""}${grouped(tens)} ${unit}`;
}

/** A plan spread over the years. */
export function yearsAtHome(told, plan, values) {
  const { house, tell, words } = told;
  if (!plan.on.length) return { values, sentences: [tell("panel.years.none")] };
  const found = overYears(house, plan.on, Array.from({ length: values.years }, () => values.yearly));
  const { ratio } = expectedOf(house, plan);
  const left = [["not_reached", found.missed], ["held", found.held], ["costs_more", found.sorry]]
    .filter(([, on]) => on.length)
    .map(([why, on]) => tell(`panel.years.${why}`, { names: told.names(on), year: values.years }));
  const rows = found.years.map((year) => [String(year.year), doneIn(told, year), dollarsOf(year.spent), dollarsOf(year.left), dollarsOf(year.saved * ratio)]);
  return { values, sentences: [tell("panel.years.lead"), ...left, ...howNear(told, plan)], table: { columns: words.texts.panel.years.columns, rows } };
}

/** How near the numbers of a plan are that has fixes which were not worked out in every combination. */
function howNear(told, plan) {
  const most = dollarsOf(Math.max(1, Math.ceil(told.house.miss)));
  return isExact(told.house, plan.on) ? [] : [told.tell("home.guessed", { most })];
}

function doneIn(told, year) {
  const done = year.on.length ? [told.names(year.on)] : [];
  if (year.goal >= 0) done.push(told.tell("panel.years.saving_for", { title: told.name(year.goal), to_go: dollarsOf(year.lacks) }));
  return done.join("; ") || told.tell("panel.years.nothing");
}

/** How sure a plan is, in a sentence. */
export function surePanelAtHome(told, plan) {
  if (!plan.on.length) return { values: {}, sentences: [told.tell("panel.sure.none")] };
  const sure = sureAtHome(told, plan);
  const middle = dollarsOf(expectedOf(told.house, plan).saving);
  return { values: {}, sentences: [told.tell("strip.saves_likely", { amount: middle }), sure.sentence, told.tell("panel.sure.why"), ...howNear(told, plan)] };
}

/** What answers each question at home. */
export const ANSWERS = { next: nextAtHome, budget: budgetAtHome, years: yearsAtHome, sure: surePanelAtHome, move: moveAtHome, payment: paymentAtHome };
