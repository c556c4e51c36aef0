// The fixes of the house as lines: what matters first, apart what waits, what is needed, what nobody has looked at.
import { make, setHidden, setText } from "./parts.js";
import { ask, button } from "./kept.js";
import { say } from "./say.js";

const CHANGED_FOR = 1000;
const APART = ["needed"];
const LOOK = "look";

/**
 * @param {any} model
 * @param {any} view
 * @param {any} page
 */
export function listBlock(model, view, page) {
  const list = make("section", "list");
  list.id = "measures";
  view.rows = new Map();
  const either = new Map(page.either.flatMap((keys, place) => keys.map((key) => [key, { keys, name: `either-${place}` }])));
  const pick = (key, on) => ask(model, view, picked(model.get("ticked"), either.get(key), key, on));
  for (const row of page.rows) view.rows.set(row.key, rowBlock(row, either.get(row.key), { pick, point: view.point }));
  view.filters = { all: false, mine: false, cheap: false, part: "" };
  const head = make("div", "list-head");
  const bar = make("div", "list-bar");
  bar.append(chips(view, page), columnNames());
  head.append(make("h2", "", say("list_title")), bar);
  list.appendChild(head);
  view.sets = page.groups.map((group) => groupBlock(view, group, either, pick));
  list.append(...view.sets.map((set) => set.block));
  view.nothingLeft = make("p", "nothing-left", say("nothing_left"));
  view.showAll = button("", () => filter(view, page, { all: !view.filters.all }), "show-all");
  view.total = make("p", "total");
  view.totalAmount = make("strong", "saves");
  view.total.append(make("span", "", say("list_total")), view.totalAmount);
  list.append(view.nothingLeft, view.total, view.showAll);
  return list;
}

/**
 * The plan after a pick: of either-or fixes one at most is in it.
 * @param {string[]} ticked
 * @param {{keys: string[]} | undefined} either
 * @param {string} key
 * @param {boolean} on
 */
export function picked(ticked, either, key, on) {
  const out = either ? either.keys : [key];
  const kept = ticked.filter((other) => !out.includes(other));
  return on ? [...kept, key] : kept;
}

function columnNames() {
  const names = make("div", "column-names");
  names.setAttribute("aria-hidden", "true");
  names.append(make("span", "", say("list_costs")), make("span", "", say("list_saves")), make("span"));
  return names;
}

function chips(view, page) {
  const bar = make("div", "chips");
  const chip = (name, text) => {
    const made = button(text, () => filter(view, page, { [name]: !view.filters[name] }), "chip");
    made.setAttribute("aria-pressed", "false");
    return /** @type {[string, HTMLButtonElement]} */ ([name, made]);
  };
  view.chips = new Map([chip("mine", say("only_mine")), chip("cheap", say("only_cheap"))]);
  view.partChip = button("", () => filter(view, page, { part: "" }), "chip part");
  view.partChip.hidden = true;
  bar.append(...view.chips.values(), view.partChip);
  return bar;
}

function groupBlock(view, group, either, pick) {
  const looked = group.key === LOOK;
  const block = make(looked ? "details" : "section", `group ${group.key}`);
  if (looked) {
    block.append(
      make("summary", "", say("look_first", { count: group.keys.length })), make("p", "", say("look_first_lead")),
    );
  } else block.appendChild(make("h3", "", group.title));
  const done = new Set();
  for (const key of group.keys) {
    if (done.has(key)) continue;
    const inside = (either.get(key) || { keys: [key] }).keys.filter((one) => group.keys.includes(one));
    inside.forEach((one) => done.add(one));
    const lines = group.keys.filter((one) => inside.includes(one)).map((one) => view.rows.get(one));
    if (either.has(key)) block.appendChild(eitherBlock(view, either.get(key), lines, pick));
    else block.append(...lines.map((line) => line.block));
  }
  return { block, keys: group.keys, key: group.key };
}

// Either-or fixes are native radios; the last one takes them all out.
function eitherBlock(view, group, lines, pick) {
  const block = make("fieldset", "either");
  const legend = make("legend", "", say("either"));
  const none = make("label", "pick none");
  const radio = make("input");
  Object.assign(radio, { type: "radio", name: group.name, checked: true });
  radio.addEventListener("change", () => pick(group.keys[0], false));
  none.append(radio, make("span", "", say("none_of_these")));
  block.append(legend, ...lines.map((line) => line.block), none);
  view.none = [...(view.none || []), { keys: group.keys, radio }];
  return block;
}

function rowBlock(row, either, { pick, point }) {
  const block = make("div", "row");
  block.dataset.key = row.key;
  const label = make("label", "pick");
  const box = make("input");
  Object.assign(box, { type: either ? "radio" : "checkbox", id: `tick-${row.key}` });
  if (either) box.name = either.name;
  box.addEventListener("change", () => pick(row.key, box.checked));
  const names = make("span", "names");
  const title = make("span", "title", row.title);
  const inShort = make("span", "in-short", row.in_short);
  title.id = `title-${row.key}`;
  inShort.id = `short-${row.key}`;
  names.append(title, inShort);
  label.append(box, names);
  const costs = amount("costs", say("list_costs"));
  const saves = amount("saves", say("list_saves"));
  saves.cell.id = `saves-${row.key}`;
  costs.cell.id = `costs-${row.key}`;
  const blocked = make("p", "blocked");
  blocked.id = `blocked-${row.key}`;
  const notes = [row.held, row.look].filter(Boolean).map((text) => make("p", row.held ? "held" : "look", text));
  notes.forEach((note, place) => { note.id = `note-${row.key}-${place}`; });
  box.setAttribute("aria-labelledby", title.id);
  box.setAttribute("aria-describedby", [inShort.id, saves.cell.id, costs.cell.id, blocked.id, ...notes.map((n) => n.id)].join(" "));
  const line = { block, box, saves: saves.text, costs: costs.text, blocked, row, more: null, shown: [] };
  const { toggle, inside } = detailsOf(line);
  block.append(label, costs.cell, saves.cell, toggle, blocked, ...notes, inside);
  for (const [name, key] of [["pointerenter", row.key], ["pointerleave", ""], ["focusin", row.key], ["focusout", ""]]) {
    block.addEventListener(name, () => point(key));
  }
  return line;
}

function amount(name, heading) {
  const cell = make("span", name);
  const text = make("span", "amount");
  cell.append(make("span", "heading", `${heading}: `), text);
  return { cell, text };
}

// What is behind a line is made when it is opened, and filled only while it is open.
function detailsOf(line) {
  const toggle = make("button", "toggle");
  toggle.type = "button";
  toggle.append(make("span", "heading", say("details_of", { title: line.row.title })));
  const inside = make("div", "inside");
  inside.id = `inside-${line.row.key}`;
  inside.hidden = true;
  toggle.setAttribute("aria-expanded", "false");
  toggle.setAttribute("aria-controls", inside.id);
  toggle.addEventListener("click", () => {
    const open = inside.hidden;
    inside.hidden = !open;
    toggle.setAttribute("aria-expanded", String(open));
    if (open && !line.more) line.more = fillDetails(line.row, inside);
    if (open) showDetails(line);
  });
  line.inside = inside;
  return { toggle, inside };
}

function fillDetails(row, inside) {
  const facts = make("dl");
  const more = {};
  for (const name of ["alone", "last", "pays"]) {
    more[name] = { term: make("dt", "", say(name)), text: make("dd") };
    facts.append(more[name].term, more[name].text);
  }
  facts.append(make("dt", "", say("lasts")), make("dd", "", row.lasts), make("dt", "", say("who")), make("dd", "", row.who));
  inside.append(make("p", "why", row.why), ...row.releases.map((text) => make("p", "", text)), facts, ...row.cautions.map(cautionBlock));
  return more;
}

function showDetails(line) {
  if (!line.more || line.inside.hidden) return;
  const [, , , alone, last, pays] = line.shown;
  setText(line.more.alone.text, alone);
  setText(line.more.last.term, say(line.box.checked ? "last" : "added"));
  setText(line.more.last.text, last);
  setText(line.more.pays.text, pays);
}

export function cautionBlock(caution) {
  const block = make("div", "caution");
  block.append(make("strong", "", caution.title), make("span", "tier", ` ${caution.tier}`));
  [caution.air, caution.text, caution.belongs, caution.source].filter(Boolean)
    .forEach((text) => block.appendChild(make("p", "", text)));
  return block;
}

/** Numbers of every line; those that a pick changed are marked for a second, but not the line that was picked. */
export function showRows(view, now) {
  const ticked = new Set(now.ticked);
  const changed = [];
  for (const [key, texts] of Object.entries(now.rows)) {
    const line = view.rows.get(key);
    const before = line.shown;
    const on = ticked.has(key);
    const moved = line.box.checked !== on || line.block.classList.contains("ticked") !== on;
    line.shown = texts;
    if (line.box.checked !== on) line.box.checked = on;
    if (line.block.classList.contains("ticked") !== on) line.block.classList.toggle("ticked", on);
    if (before[0] !== texts[0]) {
      setText(line.saves, texts[0]);
      if (before.length && !moved) changed.push(line.block);
    }
    setText(line.costs, texts[1]);
    setText(line.blocked, texts[2]);
    showDetails(line);
  }
  for (const { keys, radio } of view.none || []) radio.checked = !keys.some((key) => ticked.has(key));
  setText(view.totalAmount, now.total);
  mark(changed);
}

function mark(blocks) {
  blocks.forEach((block) => block.classList.add("changed"));
  setTimeout(() => blocks.forEach((block) => block.classList.remove("changed")), CHANGED_FOR);
}

/** Show the lines that fit the filters; what is in the plan is always there. */
export function filter(view, page, change = {}) {
  Object.assign(view.filters, change);
  const { all, mine, cheap, part } = view.filters;
  const matter = new Set([...page.matter, ...page.waiting]);
  const eitherShown = new Set(page.either.filter((keys) => keys.some((key) => matter.has(key))).flat());
  const narrowed = mine || cheap || part;
  let count = 0;
  for (const set of view.sets) {
    let some = 0;
    for (const key of set.keys) {
      const line = view.rows.get(key);
      const first = all || narrowed || APART.includes(set.key) || set.key === LOOK || matter.has(key) || eitherShown.has(key);
      const fits = (!mine || line.row.by_owner) && (!cheap || line.row.cheap) && (!part || line.row.parts.includes(part));
      const shown = (first && fits) || (line.block.classList.contains("ticked") && !narrowed);
      setHidden(line.block, !shown);
      some += shown ? 1 : 0;
    }
    setHidden(set.block, !some);
    if (set.key === LOOK && (narrowed || all) && some) set.block.open = true;
    set.block.querySelectorAll(".either").forEach((box) => setHidden(box, !box.querySelector(".row:not([hidden])")));
    count += some;
  }
  setHidden(view.nothingLeft, count > 0);
  setText(view.showAll, all ? say("show_fewer", { count: page.matter.length }) : say("show_all", { count: page.rows.length }));
  setHidden(view.showAll, Boolean(narrowed));
  view.chips.forEach((chip, name) => chip.setAttribute("aria-pressed", String(Boolean(view.filters[name]))));
  setHidden(view.partChip, !part);
  if (part) setText(view.partChip, `${say("only_part", { part: page.drawing.names[part] })} ×`);
  if (part) view.partChip.setAttribute("aria-label", say("only_clear"));
}

/** Lines that became part of the plan by a start, a link or a file come into view. */
export function showPicked(view, page) {
  if ([...view.rows.values()].some((line) => line.block.hidden && line.block.classList.contains("ticked"))) filter(view, page);
  const look = view.sets.find((set) => set.key === LOOK);
  if (look && look.keys.some((key) => view.rows.get(key).block.classList.contains("ticked"))) look.block.open = true;
}

export function pointAtRows(view, keys) {
  view.rows.forEach((line, key) => {
    const on = keys.includes(key);
    if (line.block.classList.contains("pointed") !== on) line.block.classList.toggle("pointed", on);
  });
}
