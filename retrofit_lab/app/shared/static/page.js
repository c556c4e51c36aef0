// The kitchen-table page: puts its parts together and follows what Python sends; computes nothing.
// Everything a person typed arrives as text and is set as text.
import { make, setHidden, setText } from "./parts.js";
import { connection } from "./connection.js";
import { say, setTexts } from "./say.js";
import { linkOf, placeOf, stepsOf } from "./address.js";
import { ask, button, filesBlock, keptBlock, request, saveFile, showKept, showReporting } from "./kept.js";
import { houseBlock, markHouse, pointAtParts, showHouse } from "./house.js";
import { pictureBlock, pointAtBars, showPicture, showRange } from "./picture.js";
import { filter, listBlock, pointAtRows, showPicked, showRows } from "./list.js";
import { planBlock, showPlan } from "./plan.js";
import { questionBlock, showQuestions } from "./questions.js";

const FRAMES_TO_SETTLE = 8;
const STRIP = ["now", "after", "saves", "costs", "pays", "safety"];
const MOST_SPOKEN = 200;

function choiceBox(name, options, chosen, changed) {
  const label = make("label", name, `${say(name)} `);
  const select = make("select");
  for (const [key, text] of options) {
    const option = make("option", "", text);
    option.value = key;
    select.appendChild(option);
  }
  select.value = chosen;
  select.dataset.chooses = name;
  select.addEventListener("change", () => changed(select.value));
  label.appendChild(select);
  return label;
}

function setTrait(model, view, name, value) {
  view.line.expect();
  model.set(name, value);
  model.save_changes();
}

function headBlock(model, view, page) {
  const head = make("header", "head");
  const tools = make("div", "tools");
  view.undo = button(say("undo"), () => view.steps.undo(), "quiet");
  view.undo.title = say("undo_help");
  view.redo = button(say("redo"), () => view.steps.redo(), "quiet");
  tools.append(
    view.undo, view.redo,
    choiceBox("language", page.languages, page.language, (value) => setTrait(model, view, "language", value)),
    choiceBox("units", page.systems, page.units, (value) => setTrait(model, view, "units", value)),
  );
  const notes = [...(page.bills || []), page.note].filter(Boolean);
  head.append(make("h1", "", page.title), tools);
  if (page.stop.stopped) head.appendChild(make("p", "stopped-line", page.stop.lead));
  view.start = make("section", "start");
  view.lead = make("p", "lead");
  view.starts = make("div", "starts");
  view.start.append(view.lead, view.starts);
  head.append(view.start);
  if (notes.length) {
    const first = make("p", "note", notes[0]);
    head.appendChild(first);
  }
  return head;
}

function showStarts(model, view) {
  const { lead, items } = model.get("starts");
  setText(view.lead, lead);
  if (!items.length) {
    view.starts.replaceChildren(make("p", "busy", say("start_working")));
    return;
  }
  view.starts.replaceChildren(...items.map((item) => {
    const made = button("", () => ask(model, view, item.keys), `start-${item.key}`);
    made.append(make("strong", "", item.title), " ", make("span", "", item.text));
    return made;
  }));
}

function stripBlock(name) {
  const list = make("ul", name);
  const cells = STRIP.map((key) => {
    const item = make("li", key);
    const cell = { name: make("span", "name"), value: make(key === "safety" ? "a" : "span", "value"), more: make("span", "more") };
    if (key === "safety") cell.value.href = "#plan";
    item.append(cell.name, cell.value, cell.more);
    list.appendChild(item);
    return cell;
  });
  return { list, cells };
}

// On a phone saving and cost stay at the thumb, and open the picture.
function thumbBlock(view) {
  const bar = button("", () => openSheet(view, !view.side.classList.contains("open")), "thumb");
  const cell = (text) => {
    const made = make("span", "cell");
    const value = make("strong");
    made.append(make("span", "name", text), value);
    bar.appendChild(made);
    return value;
  };
  view.thumb = { bar, saves: cell(say("bar_saves")), costs: cell(say("bar_costs")) };
  const mini = make("span", "mini");
  view.thumb.promised = make("i", "promised");
  view.thumb.real = make("i", "real");
  mini.append(view.thumb.promised, view.thumb.real);
  bar.append(mini, make("span", "heading", say("sheet_open")));
  bar.setAttribute("aria-controls", "side");
  bar.setAttribute("aria-expanded", "false");
  return bar;
}

function openSheet(view, open) {
  view.side.classList.toggle("open", open);
  view.thumb.bar.setAttribute("aria-expanded", String(open));
  if (open) view.sheetClose.focus();
  else if (view.side.contains(document.activeElement)) view.thumb.bar.focus();
}

function budgetBlock(model, view) {
  const block = make("section", "budget");
  const label = make("label", "", say("budget_title"));
  const slider = make("input");
  Object.assign(slider, { type: "range", id: "budget", min: 0, max: 0, step: 1, value: 0 });
  label.htmlFor = slider.id;
  const told = make("output", "budget-told", say("budget_none"));
  told.htmlFor = slider.id;
  const use = button(say("budget_use"), () => { if (view.onLine) ask(model, view, view.onLine.keys); });
  use.hidden = true;
  const better = make("p", "better");
  better.hidden = true;
  view.better = { block: better, text: make("span"), plan: null };
  better.append(view.better.text, " ", button(say("budget_show"), () => ask(model, view, view.better.plan.keys)));
  const wanted = () => {
    if (view.lineAsked) return;
    view.lineAsked = true;
    setText(told, say("working"));
    request(model, view, { kind: "line" });
  };
  slider.addEventListener("focus", wanted);
  slider.addEventListener("pointerdown", wanted);
  slider.addEventListener("input", () => showBudget(model, view));
  block.append(label, slider, told, use, better);
  view.budget = { slider, told, use };
  return block;
}

const BUDGET_STEP = 50;

function showLine(model, view) {
  const line = model.get("line");
  if (!line.length) {
    view.lineAsked = false;
    view.budget.slider.max = "0";
    return;
  }
  const most = Math.ceil(line[line.length - 1].cost / BUDGET_STEP) * BUDGET_STEP;
  Object.assign(view.budget.slider, { max: String(most), step: String(BUDGET_STEP) });
  if (Number(view.budget.slider.value) === 0) view.budget.slider.value = String(Math.min(most, 3000));
  showBudget(model, view);
  showBetter(model, view);
}

/**
 * The best plan that a budget reaches: one look-up.
 * @param {any[]} line plans by rising cost
 * @param {number} budget
 * @returns {any} one of them, or null
 */
export function within(line, budget) {
  let found = null;
  for (const plan of line) {
    if (plan.cost > budget + 0.5) break;
    found = plan;
  }
  return found;
}

function showBudget(model, view) {
  const { slider, told, use } = view.budget;
  const line = model.get("line");
  if (!line.length) return;
  const plan = within(line, Number(slider.value));
  const budget = `$${Number(slider.value).toLocaleString("en-US")}`;
  view.onLine = plan;
  const texts = model.get("page").budget;
  const text = plan ? `${fill(texts.at, { budget, ...plan.blanks })} ${plan.held}`.trim() : fill(texts.at_none, { budget });
  setText(told, text);
  slider.setAttribute("aria-valuetext", text);
  setHidden(use, !plan);
}

const fill = (text, blanks) => text.replace(/\{(\w+)\}/g, (whole, name) => blanks[name] || whole);

/** Whether the same money could save more, once the line is known. */
function showBetter(model, view) {
  const now = model.get("now");
  const line = model.get("line");
  const plan = now.ticked.length && line.length ? within(line, now.cost) : null;
  const more = plan && plan.saving > now.saving * 1.02 + 5;
  setHidden(view.better.block, !more);
  if (!more) return;
  view.better.plan = plan;
  setText(view.better.text, say("budget_better", { saving: plan.blanks.saving }));
}

function sideBlock(model, view, page) {
  const side = view.side = make("div", "side");
  side.id = "side";
  view.sheetClose = button(say("sheet_close"), () => openSheet(view, false), "sheet-close");
  view.copy = stripBlock("strip copy");
  view.picture = pictureBlock(view.point);
  view.house = houseBlock(page, {
    choose: (part) => choosePart(model, view, page, part),
    point: (part) => view.pointPart(part),
    counted: () => showHouse(view.house, model.get("drawing")),
  });
  side.append(view.sheetClose, view.copy.list, view.picture.block, view.house.block, budgetBlock(model, view));
  side.addEventListener("keydown", (event) => { if (event.key === "Escape") openSheet(view, false); });
  return side;
}

// A part of the house narrows the list to its fixes; the same part again widens it.
function choosePart(model, view, page, part) {
  const same = view.filters.part === part;
  filter(view, page, { part: same ? "" : part });
  markHouse(view.house, same ? "" : part);
  if (same) return;
  view.speak(model.get("drawing").picked[part]);
  openSheet(view, false);
  const first = [...view.rows.values()].find((line) => !line.block.hidden);
  if (!first) return;
  first.block.scrollIntoView({ block: "center" });
  first.box.focus({ preventScroll: true });
}

function anywayBlock(model, view, page) {
  if (!page.anyway.length) return make("div");
  const block = make("details", "anyway");
  block.append(make("summary", "", say("anyway_title")), make("p", "", say("anyway_lead")));
  const on = new Set(model.get("anyway"));
  block.open = on.size > 0;
  const boxes = page.anyway.map(([path, text]) => {
    const label = make("label", "pick");
    const box = make("input");
    Object.assign(box, { type: "checkbox", checked: on.has(path), value: path });
    box.addEventListener("change", () => {
      setTrait(model, view, "anyway", boxes.filter((one) => one.checked).map((one) => one.value));
    });
    label.append(box, make("span", "", text));
    block.appendChild(label);
    return box;
  });
  return block;
}

function questionsBlock(model, view, page) {
  const at = (place) => page.panels.filter((panel) => panel.place === place).map((panel) => {
    const made = questionBlock(model, view, panel);
    view.panels.set(panel.key, made);
    return made.block;
  });
  const home = make("section", "questions");
  home.append(make("h2", "", say("questions_title")), ...at("home"));
  const rater = make("details", "rater");
  rater.append(make("summary", "", say("rater_title")), ...at("rater"));
  if (page.files) rater.appendChild(filesBlock(model, view));
  return { home, rater };
}

// What the keyboard reaches out of view is laid out only then, and what is above it may push it away again.
function keepFocusInView(root) {
  root.addEventListener("focusin", ({ target }) => {
    let frames = FRAMES_TO_SETTLE;
    const follow = () => {
      if (document.activeElement !== target || !target.matches(":focus-visible")) return;
      target.scrollIntoView({ block: "nearest" });
      frames -= 1;
      if (frames > 0) requestAnimationFrame(follow);
    };
    requestAnimationFrame(follow);
  });
}

function topBlock(view) {
  view.strip = stripBlock("strip");
  view.live = make("p", "live");
  view.live.setAttribute("role", "status");
  view.said = make("p", "said");
  view.said.hidden = true;
  view.problem = make("div", "problem");
  view.problem.setAttribute("role", "alert");
  view.problem.hidden = true;
  const top = make("div", "top");
  top.append(view.strip.list, view.said, view.problem, view.live, view.line.block);
  return top;
}

// Hover and focus link bar, line and house.
function pointers(view, page) {
  const parts = new Map(page.rows.map((row) => [row.key, row.parts]));
  view.point = (key) => {
    pointAtRows(view, key ? [key] : []);
    pointAtBars(view.picture, key ? [key] : []);
    pointAtParts(view.house, key ? parts.get(key) : []);
  };
  view.pointPart = (part) => {
    const keys = part ? page.rows.filter((row) => row.parts.includes(part)).map((row) => row.key) : [];
    pointAtRows(view, keys);
    pointAtBars(view.picture, keys);
    pointAtParts(view.house, part ? [part] : []);
  };
}

function newView(model, root) {
  const way = () => window.location.assign(view.link());
  const words = Object.fromEntries(["ended", "silent", "slow", "still", "again"].map((key) => [key, say(`lost_${key}`)]));
  const view = { root, panels: new Map(), before: [] };
  view.line = connection({ goBack: way, kept: "", words });
  view.link = () => linkOf(placeNow(model), window.location.href);
  view.speak = (text) => setText(view.live, String(text).slice(0, MOST_SPOKEN));
  view.tell = (text, problem) => tell(view, text, problem);
  return view;
}

function placeNow(model) {
  const choices = model.get("choices");
  return {
    ticked: model.get("ticked"),
    kept: choices.names.map((name, place) => ({ name, ticked: choices.ticked[place] })),
    anyway: model.get("anyway"),
    units: model.get("units"),
    language: model.get("language"),
    mark: model.get("page").mark,
  };
}

function buildPage(model, view) {
  const page = model.get("page");
  const { root } = view;
  pointers(view, page);
  const columns = make("div", "columns");
  const list = listBlock(model, view, page);
  list.appendChild(anywayBlock(model, view, page));
  columns.append(list, sideBlock(model, view, page));
  view.planView = planBlock(page);
  const { home, rater } = questionsBlock(model, view, page);
  root.append(headBlock(model, view, page), topBlock(view), columns, view.planView.block, home, keptBlock(model, view), rater);
  const about = make("details", "about");
  about.append(make("summary", "", say("about_title")), ...page.about.map((text) => make("p", "", text)));
  root.append(about, thumbBlock(view));
  keepFocusInView(root);
  view.titles = Object.fromEntries(page.rows.map((row) => [row.key, row.title]));
  filter(view, page);
}

function showNow(model, view) {
  const now = model.get("now");
  const page = model.get("page");
  tell(view, "", false);
  showStrip(model, view);
  setText(view.live, now.live);
  showRows(view, now);
  const grown = now.ticked.length > 1 && view.before.length && now.ticked.length > view.before.length;
  view.before = now.ticked;
  showPicture(view.picture, { ...now.picture, titles: view.titles }, Boolean(grown));
  showPicked(view, page);
  showBetter(model, view);
  setHidden(view.picture.range.line, true);
}

function showStrip(model, view) {
  const { strip, ticked, picture } = model.get("now");
  const sure = model.get("sure");
  const fits = ticked.length > 0 && (sure.ticked || []).join() === ticked.join();
  strip.forEach(([name, value, more], place) => {
    const texts = [name, value, more];
    const key = STRIP[place];
    if (key === "saves" && fits) texts[1] = sure.saves;
    if (key === "pays" && fits && sure.pays) texts[2] = sure.pays;
    for (const { cells } of [view.strip, view.copy]) {
      ["name", "value", "more"].forEach((part, at) => setText(cells[place][part], texts[at]));
    }
  });
  view.strip.list.classList.toggle("waiting", ticked.length > 0 && !fits);
  setText(view.thumb.saves, fits ? sure.saves : strip[2][1]);
  setText(view.thumb.costs, strip[3][1]);
  view.thumb.promised.style.width = `${picture.ends[0]}%`;
  view.thumb.real.style.width = `${picture.ends[1]}%`;
  if (fits) showRange(view.picture, sure, true);
}

function tell(view, text, problem) {
  setHidden(view.problem, !problem);
  if (problem) setText(view.problem, text);
  else setText(view.said, text);
  setHidden(view.said, Boolean(problem) || !text);
  if (text && !problem) view.speak(text);
}

/** What each message from Python changes. */
function shown(model, view) {
  const record = () => { if (view.ready) setTimeout(() => view.steps.write(view.link()), 0); };
  return {
    now: () => { showNow(model, view); record(); },
    drawing: () => showHouse(view.house, model.get("drawing")),
    plan: () => { if (model.get("plan").phases) showPlan(view.planView, model.get("plan"), model.get("page").plan); },
    starts: () => showStarts(model, view),
    line: () => showLine(model, view),
    panels: () => showQuestions(model, view),
    sure: () => showStrip(model, view),
    choices: () => { showKept(model, view); record(); },
    reporting: () => showReporting(model, view),
    said: () => { const said = model.get("said"); if (said.text) tell(view, said.text, said.problem); },
  };
}

function showProblem(root, page) {
  root.appendChild(make("h1", "", say("problem_title")));
  const problem = make("div", "problem", page.problem);
  problem.setAttribute("role", "alert");
  root.appendChild(problem);
}

// The page in one language and one system of units; another one is drawn anew, and the keyboard stays where it was.
function draw(model, root, steps) {
  const page = model.get("page");
  setTexts(page.texts);
  document.documentElement.lang = page.language;
  const skip = document.querySelector(".skip");
  if (skip) skip.textContent = say("skip");
  const active = /** @type {HTMLElement} */ (document.activeElement);
  const at = root.contains(active) ? active.dataset.chooses : "";
  root.replaceChildren();
  const view = newView(model, root);
  view.steps = steps;
  buildPage(model, view);
  const show = shown(model, view);
  Object.values(show).forEach((one) => one());
  if (at) root.querySelector(`[data-chooses=${at}]`).focus();
  if (!model.get("starts").items.length) model.send({ kind: "starts" });
  return { view, show };
}

function restore(model, view, place) {
  const kept = placeNow(model).kept;
  if (JSON.stringify(kept) !== JSON.stringify(place.kept)) request(model, view, { kind: "link", kept: place.kept });
  if (place.anyway.join() !== model.get("anyway").join()) setTrait(model, view, "anyway", place.anyway);
  ask(model, view, place.ticked);
}

function fromLink(model, view) {
  const place = placeOf(window.location.href);
  const page = model.get("page");
  for (const [name, choices] of [["language", page.languages], ["units", page.systems]]) {
    const wanted = place[name];
    if (wanted !== model.get(name) && choices.some(([key]) => key === wanted)) setTrait(model, view, name, wanted);
  }
  // at home a bare address means the plan that was picked last, not none
  if (page.files || place.mark) restore(model, view, place);
  if (place.mark && place.mark !== page.mark) view.note = page.other_house;
}

function keysOf(root, steps) {
  root.addEventListener("keydown", (event) => {
    const typing = event.target.matches("input[type=text], input[type=number]");
    if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    event.preventDefault();
    if (event.shiftKey) steps.redo();
    else steps.undo();
  });
}

export function render({ model, el }) {
  const root = make("div", "kt");
  el.appendChild(root);
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  const page = model.get("page");
  setTexts(page.texts);
  if (page.problem) {
    showProblem(root, page);
    return;
  }
  let drawn = { view: null, show: {} };
  const steps = stepsOf({
    restore: (place) => restore(model, drawn.view, place),
    moved: (back, forth) => {
      if (!drawn.view) return;
      drawn.view.undo.disabled = !back;
      drawn.view.redo.disabled = !forth;
      setHidden(drawn.view.redo, !forth);
    },
  });
  const asked = placeOf(window.location.href);
  const begin = () => {
    const ready = Boolean(drawn.view && drawn.view.ready);
    drawn = draw(model, root, steps);
    drawn.view.ready = ready;
    steps.tell();
    // other units leave the numbers of money as they are, so nothing else writes the address
    if (ready) steps.write(drawn.view.link());
  };
  begin();
  follow(model, () => drawn, begin);
  keysOf(document, steps);
  fromLink(model, drawn.view);
  settle(model, () => drawn, steps, asked);
  root.dataset.ready = "yes";
}

// Until the plan of the link has come, the address stays; the first one takes the token out, and that cannot wait.
function settle(model, drawn, steps, asked) {
  const bare = new URL(window.location.href);
  bare.searchParams.delete("token");
  steps.first(bare.href);
  const { view } = drawn();
  const came = () => (!asked.ticked.length || model.get("now").ticked.length > 0)
    && model.get("choices").names.length >= asked.kept.length;
  const end = performance.now() + LINK_WITHIN;
  const look = () => {
    if (!came() && performance.now() < end) {
      setTimeout(look, LINK_LOOK);
      return;
    }
    drawn().view.ready = true;
    steps.first(drawn().view.link());
    if (view.note) drawn().view.tell(view.note, false);
  };
  look();
}

const LINK_WITHIN = 4000;
const LINK_LOOK = 100;

function follow(model, drawn, begin) {
  for (const name of ["now", "drawing", "plan", "starts", "line", "panels", "sure", "choices", "reporting", "said"]) {
    model.on(`change:${name}`, () => {
      drawn().view.line.came();
      drawn().show[name]();
    });
  }
  model.on("change:page", begin);
  model.on("msg:custom", (message, buffers) => {
    if (message.kind !== "file") return;
    drawn().view.line.came();
    saveFile(message, buffers);
  });
}

export default { render };
