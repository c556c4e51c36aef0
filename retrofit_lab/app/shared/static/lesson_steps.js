// The steps of a lesson, one function each: guess, talk, see, change the house, work it out, go further.
import { button, numberBox, questionForm, section, showLesson, typedNumber } from "./lesson_parts.js";
import { foldedBlock, make, setText, whenEntered } from "./parts.js";
import { say } from "./say.js";

const DIRECTIONS = ["up", "down", "same"];

export function predictBlock(model, page, tell) {
  const { block } = section(say("predict"), "predict");
  const { form, input, send, parts } = questionForm(page.predict.text, page.predict.unit, say("guess"), {
    id: `guess-${page.number}`,
    signed: page.predict.low < 0,
    answered: (text) => tell({ kind: "guess", guess: text }),
  });
  const watch = button(say("watch"), () => tell({ kind: "watch" }));
  watch.className = "quiet";
  watch.hidden = page.class;
  const shown = make("div", "answer");
  // what a class waits for stands above the box, where the second guess is asked
  const waits = make("p", "waits");
  waits.setAttribute("role", "status");
  block.append(shown, waits, form, make("p", "note", say("guess_note")), watch);
  const enable = (on) => [...parts, send, watch].forEach((part) => { part.disabled = !on; });
  return { block, input, watch, enable, waits, draw: () => showLesson(model, shown, page.predict.shown) };
}

export function seeBlock() {
  const { block, heading } = section(say("see"), "see");
  const answer = make("div", "answer");
  block.appendChild(answer);
  return { block, heading, answer };
}

/** Boxes that open once it was said which way the watched number will go; those of a puzzle are open. */
export function tryBlock(later, tell) {
  const { block, heading } = section(later.title, "try");
  const form = make("div", "form");
  const inputs = new Map();
  const ways = new Map();
  const send = () => {
    const values = {};
    inputs.forEach((input, name) => { values[name] = typedNumber(input.value); });
    const said = {};
    ways.forEach((way, name) => { said[name] = way.value; });
    tell({ kind: "explore", values, said });
  };
  for (const field of later.boxes) {
    const { row, input, way } = boxRow(field, later.puzzle, send);
    inputs.set(field.name, input);
    if (way) ways.set(field.name, way);
    form.appendChild(row);
  }
  const answer = make("div", "answer");
  answer.setAttribute("aria-live", "polite");
  const note = later.puzzle ? say("puzzle_note") : say("try_note", { watched: later.watched });
  block.append(make("p", "note", note), form, answer);
  const open = later.puzzle ? button(say("open"), () => tell({ kind: "answer_now" })) : null;
  if (open) block.appendChild(open);
  return { block, heading, inputs, ways, answer, open };
}

function boxRow(field, puzzle, send) {
  const row = make("div", "box-row");
  const label = make("label", "", field.label);
  const { input, parts } = numberBox(field.low < 0);
  input.id = `box-${field.name}-${Math.random().toString(36).slice(2)}`;
  label.htmlFor = input.id;
  Object.assign(input, { value: String(field.value) });
  input.addEventListener("change", send);
  whenEntered(input, send);
  if (puzzle) {
    row.append(label, ...parts);
    return { row, input, way: null };
  }
  input.disabled = true;
  const way = make("select");
  way.setAttribute("aria-label", say("direction", { box: field.label }));
  way.append(new Option(say("choose"), ""), ...DIRECTIONS.map((name) => new Option(say(name), name)));
  way.addEventListener("change", () => { input.disabled = !way.value; });
  row.append(label, way, ...parts);
  return { row, input, way };
}

/** Puts the numbers into the boxes that the answer is about, and closes them until the next guess of a way. */
export function refillBoxes(block, values) {
  block.inputs.forEach((input, name) => { input.value = String(values[name]); });
  block.ways.forEach((way, name) => {
    way.value = "";
    block.inputs.get(name).disabled = true;
  });
}

export function handBlock(page, later, tell) {
  const { block } = section(say("hand"), "hand");
  const given = make("dl", "given");
  for (const [name, value] of later.hand.given) {
    const pair = make("div");
    pair.append(make("dt", "", name), make("dd", "", value));
    given.appendChild(pair);
  }
  const { form, label } = questionForm(later.hand.text, later.hand.unit, say("check"), {
    id: `answer-${page.number}`,
    signed: true,
    answered: (text) => tell({ kind: "answer", text }),
  });
  const mark = make("p", "mark");
  mark.setAttribute("role", "status");
  const way = make("ol", "way");
  // the question, what it gives, and then the box to answer in
  label.after(given);
  block.append(form, mark, way);
  return { block, mark, way };
}

export function showMark(hand, marked) {
  setText(hand.mark, marked.sentence || "");
  hand.mark.classList.toggle("right", Boolean(marked.right));
  hand.way.replaceChildren(...(marked.way || []).map((line) => make("li", "", line)));
  hand.way.hidden = !(marked.way || []).length;
}

export function furtherBlock(later) {
  const { block } = section(say("further"), "further");
  const list = make("ul");
  list.append(...later.further.map((text) => make("li", "", text)));
  block.appendChild(list);
  return { block };
}

export function cautionBlock(page) {
  const block = make("aside", "cautions");
  block.hidden = !page.caution.length;
  block.append(make("strong", "", say("caution")), ...page.caution.map((text) => make("p", "", text)));
  return block;
}

export function groupBlock(tell) {
  const answer = make("div", "answer");
  answer.setAttribute("aria-live", "polite");
  const ask = () => tell({ kind: "group" });
  const inside = make("div");
  inside.append(answer, button(say("again"), ask), make("p", "note", say("group_note")));
  const block = foldedBlock(say("group"), inside);
  block.classList.add("panel");
  block.dataset.step = "group";
  block.addEventListener("toggle", () => { if (block.open) ask(); });
  return { block, answer, ask };
}

/** Language and units, at the top as on every page. */
export function topBlock(page, tell) {
  const block = make("div", "units");
  const titles = { language: page.texts.languages, system: page.texts.systems };
  for (const [name, label] of [["language", say("language")], ["system", say("units")]]) {
    const place = make("label", "", `${label} `);
    const select = make("select");
    select.append(...page.choices[name].map((value, at) => new Option(titles[name][at], value)));
    select.value = page[name];
    select.addEventListener("change", () => tell({ kind: "tell", [name]: select.value }));
    place.appendChild(select);
    block.appendChild(place);
  }
  return block;
}
