// The page at home: stands in for the kernel that the page asks at the table, from numbers that came with the file.
import { homeNumbers, planOf, unpacked } from "./home_numbers.js";
import { plansAhead } from "./home_plans.js";
import { choicesAtHome, drawingAtHome, homeWords, nowAtHome, planAtHome, sureAtHome } from "./home_words.js";
import { ANSWERS } from "./home_answers.js";
import { render } from "./page.js";

const KEPT_AT = "retrofit-lab-plan";

/** Draws of what each fix saves and costs, unpacked into rows. */
function drawsOf({ count, alone, costs, came, kinds }) {
  const rows = (text) => {
    const all = unpacked(text, "getInt16", 2).map((one) => one / 1000);
    return Array.from({ length: all.length / count }, (_, row) => all.subarray(row * count, (row + 1) * count));
  };
  return { count, kinds, alone: rows(alone), costs: rows(costs), came: rows(came) };
}

/** What a link or a visitor names, as fixes of the house that can go together; the one picked last stays. */
export function usable(house, keys) {
  const known = [...new Set(keys)].map((key) => house.places.get(key)).filter((place) => place !== undefined);
  const kept = [];
  const dropped = [];
  for (const place of known) {
    const clash = kept.filter((one) => house.rivals[place].includes(one));
    dropped.push(...clash);
    clash.forEach((one) => kept.splice(kept.indexOf(one), 1));
    kept.push(place);
  }
  const missing = kept.flatMap((place) => house.needs[place]).filter((one) => !kept.includes(one));
  return { on: [...kept, ...missing].sort((a, b) => a - b), dropped, whole: known.length === keys.length };
}

/** A page at home: what it shows by name, as the kernel's traits are, and what a visitor may ask. */
class AtHome {
  /**
   * @param {any} data what the file carries
   * @param {{read: () => any, write: (place: any) => void}} shelf where the browser keeps the last plan
   */
  constructor(data, shelf) {
    this.data = data;
    this.shelf = shelf;
    this.house = { ...homeNumbers(data.numbers), draws: drawsOf(data.numbers.draws) };
    this.house.ahead = plansAhead(this.house, data.numbers.ahead);
    this.traits = { language: data.language, units: data.units, ticked: [], anyway: [], said: {}, panels: {}, line: [] };
    this.heard = new Map();
    this.asked = new Map();
    this.changed = new Set();
    this.turn = 0;
    this.kept = [];
    this.plan = planOf(this.house, []);
  }

  put(name, value) {
    this.traits[name] = value;
    this.changed.add(name);
  }

  /** Say what has changed, each once. */
  tell() {
    const names = [...this.changed];
    this.changed.clear();
    names.forEach((name) => (this.heard.get(`change:${name}`) || []).forEach((act) => act()));
  }

  note(key, blanks = {}, problem = false) {
    this.turn += 1;
    this.put("said", { text: this.told.tell(key, blanks), problem, turn: this.turn });
  }

  answer() {
    const told = [...this.asked].map(([key, values]) => [key, ANSWERS[key](this.told, this.plan, values)]);
    this.put("panels", Object.fromEntries(told));
  }

  compare() {
    this.put("choices", choicesAtHome(this.told, this.kept));
  }

  follow(newest) {
    this.put("now", nowAtHome(this.told, this.plan, newest));
    this.put("ticked", this.traits.now.ticked);
    this.put("drawing", drawingAtHome(this.told, this.plan));
    this.put("sure", sureAtHome(this.told, this.plan));
    this.put("plan", planAtHome(this.told, this.plan));
    this.answer();
    const { ticked, language, units } = this.traits;
    this.shelf.write({ ticked, kept: this.kept, language, units });
  }

  pick(keys) {
    const before = this.plan.on;
    const { on, dropped, whole } = usable(this.house, keys);
    this.plan = planOf(this.house, on);
    const moved = [...on.filter((place) => !before.includes(place)), ...before.filter((place) => !on.includes(place))];
    const newest = this.house.places.get(keys[keys.length - 1]);
    this.follow(moved.includes(newest) ? newest : moved.length === 1 ? moved[0] : -1);
    const last = newest === undefined ? "" : this.told.name(newest);
    if (dropped.length) this.note("note.conflict", { dropped: this.told.names(dropped), kept: last });
    else if (!whole) this.note("note.unknown", {}, true);
  }

  /** Everything in the chosen language and units. */
  tellAnew() {
    const { language, units } = this.traits;
    const { page, starts, line, words } = this.data.pages[`${language}.${units}`];
    const texts = this.data.texts[language];
    this.told = homeWords(this.house, { ...words, texts });
    this.budgets = line;
    this.follow(-1);
    this.compare();
    this.put("said", {});
    this.put("starts", starts);
    this.put("line", this.traits.line.length ? line : []);
    this.put("page", { ...page, texts: { ...texts.client, kept_lead: texts.home.kept_lead } });
  }

  keep({ name }) {
    const most = this.traits.page.most_kept;
    if (this.kept.length >= most) return this.note("kept.full", { count: most }, true);
    const numbered = [1, 2, 3, 4, 5].map((count) => this.told.tell("kept.number", { count }));
    const free = numbered.find((one) => !this.kept.some((other) => other.name === one));
    const called = plainName(name, this.traits.page.most_letters) || free;
    if (this.kept.some((one) => one.name === called)) return this.note("kept.taken", { name: called }, true);
    this.kept = [...this.kept, { name: called, ticked: this.traits.ticked }];
    this.compare();
    return this.note("note.kept", { name: called });
  }

  rename({ place, name }) {
    const called = plainName(name, this.traits.page.most_letters);
    if (!called) return this.note("kept.needs_name", {}, true);
    if (this.kept.some((one, at) => at !== place && one.name === called)) return this.note("kept.taken", { name: called }, true);
    this.kept = this.kept.map((one, at) => (at === place ? { ...one, name: called } : one));
    this.compare();
    return this.note("note.renamed", { name: called });
  }

  remove({ place }) {
    const { name } = this.kept[place];
    this.kept = this.kept.filter((_, at) => at !== place);
    this.compare();
    this.note("note.removed", { name });
  }

  takeKept(plans) {
    const most = this.traits.page.most_kept;
    const fixes = (keys) => usable(this.house, keys).on.map((place) => this.house.keys[place]);
    this.kept = plans.slice(0, most).map(({ name, ticked }) => ({ name, ticked: fixes(ticked) }));
    this.compare();
  }
}

/** The page's model at home: takes what the kernel takes, and answers at once. */
export function homeModel(data, shelf) {
  const home = new AtHome(data, shelf);
  const acts = {
    ask: ({ panel, values }) => { home.asked.set(panel, values); home.answer(); },
    close: ({ panel }) => { home.asked.delete(panel); },
    line: () => home.put("line", home.budgets),
    keep: (message) => home.keep(message),
    rename: (message) => home.rename(message),
    remove: (message) => home.remove(message),
    link: ({ kept }) => home.takeKept(kept),
  };
  const told = (name) => (value) => { home.traits[name] = value; home.tellAnew(); };
  const takes = { ticked: (value) => home.pick(value), language: told("language"), units: told("units") };
  begin(home, shelf.read());
  return {
    get: (name) => home.traits[name],
    set: (name, value) => { if (takes[name]) takes[name](value); },
    save_changes: () => home.tell(),
    on: (name, act) => home.heard.set(name, [...(home.heard.get(name) || []), act]),
    send: (message) => { if (acts[message.kind]) { acts[message.kind](message); home.tell(); } },
  };
}

function begin(home, last) {
  if (last && home.data.pages[`${last.language}.${last.units}`]) {
    Object.assign(home.traits, { language: last.language, units: last.units });
  }
  home.tellAnew();
  const first = last || { ticked: home.data.chosen, kept: [] };
  home.takeKept(first.kept);
  home.pick(first.ticked);
  home.changed.clear();
}

const NOT_SHOWN = /[\u0000-\u001f\u007f\u2028\u2029\u202a-\u202e\u2066-\u2069]+/g;

const plainName = (text, most) => String(text).replace(NOT_SHOWN, " ").split(/\s+/).filter(Boolean).join(" ").slice(0, most).trim();

// What a browser kept is a page's own, for this house as it was; anything else in its place is not taken.
function shelfOf(mark) {
  const name = `${KEPT_AT}-${mark}`;
  return {
    read: () => {
      try {
        const last = JSON.parse(localStorage.getItem(name) || "null");
        return last && Array.isArray(last.ticked) && Array.isArray(last.kept) ? last : null;
      } catch {
        return null;
      }
    },
    write: (place) => {
      try {
        localStorage.setItem(name, JSON.stringify(place));
      } catch {
        // a browser that keeps nothing still shows everything
      }
    },
  };
}

if (typeof document !== "undefined" && document.getElementById("home-data")) {
  const data = JSON.parse(document.getElementById("home-data").textContent);
  render({ model: homeModel(data, shelfOf(data.mark)), el: document.getElementById("home") });
}
