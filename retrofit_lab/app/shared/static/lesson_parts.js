// What the steps of a lesson are made of: headed sections, a question with its box, charts, and the drawn house.
import { drawNode } from "./house.js";
import { countDrawn, make, setText, showAnswer, whenEntered } from "./parts.js";
import { say } from "./say.js";

export function section(title, key) {
  const block = make("section", "step");
  block.dataset.step = key;
  const heading = make("h2", "", title);
  heading.tabIndex = -1;
  block.appendChild(heading);
  return { block, heading };
}

export function button(text, clicked) {
  const made = make("button", "", text);
  made.type = "button";
  made.addEventListener("click", clicked);
  return made;
}

/**
 * Number that was typed into a box, with a point or a comma; NaN for anything else.
 * @param {string} text
 * @returns {number}
 */
export function typedNumber(text) {
  const plain = text.trim().replace("\u2212", "-");
  if (!plain) return NaN;
  return Number(/^[-+]?\d*,\d+$/.test(plain) ? plain.replace(",", ".") : plain);
}

/**
 * What was typed with the other sign; a phone's number pad has no minus.
 * @param {string} text
 * @returns {string}
 */
export function withOtherSign(text) {
  const plain = text.trim();
  return /^[-\u2212]/.test(plain) ? plain.slice(1).trim() : `-${plain}`;
}

/**
 * A box for a number that a phone opens its number pad for, with a button for the sign where one may be needed.
 * @param {boolean} signed
 */
export function numberBox(signed) {
  const input = make("input");
  Object.assign(input, { type: "text", inputMode: "decimal", autocomplete: "off", maxLength: 40 });
  const parts = [input];
  if (signed) {
    const sign = button("\u00b1", () => {
      input.value = withOtherSign(input.value);
      input.focus();
    });
    sign.className = "sign";
    sign.setAttribute("aria-label", say("sign"));
    parts.push(sign);
  }
  return { input, parts };
}

// A box with its question, its unit and a button; Enter works as the button does.
export function questionForm(question, unit, buttonText, { id, signed, answered }) {
  const form = make("form", "question");
  const label = make("label", "", question);
  const line = make("div", "line");
  const { input, parts } = numberBox(signed);
  input.required = true;
  label.htmlFor = id;
  input.id = id;
  const send = make("button", "", buttonText);
  send.type = "submit";
  line.append(...parts, make("span", "unit", unit), send);
  form.append(label, line);
  whenEntered(input, () => form.requestSubmit(send));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    answered(input.value);
  });
  return { form, input, send, label, parts };
}

/** Sentences, then the drawn house or wall, then every chart with its table. */
export function showLesson(model, place, content) {
  const sentences = make("div");
  showAnswer(model, sentences, { sentences: content.sentences });
  place.replaceChildren(sentences);
  if (content.way && content.way.length) place.append(make("h3", "", say("guess_way")), wayList(content.way));
  if (content.drawing) place.appendChild(drawnHouse(content.drawing));
  if (content.heat) place.appendChild(heatPicture(content.heat));
  for (const chart of content.charts || []) {
    const one = make("div");
    place.appendChild(one);
    showAnswer(model, one, { sentences: [], ...chart });
  }
}

export function wayList(lines) {
  const list = make("ol", "way");
  list.append(...lines.map((line) => make("li", "", line)));
  return list;
}

function drawnHouse(drawing) {
  const figure = make("figure", "drawn");
  const picture = drawNode(drawing.svg);
  picture.setAttribute("role", "img");
  const told = [];
  picture.querySelectorAll("[data-part]").forEach((group) => {
    ["role", "tabindex", "aria-pressed"].forEach((name) => group.removeAttribute(name));
    const part = drawing.parts[group.dataset.part];
    group.querySelector(".before").setAttribute("points", part.before);
    group.querySelector(".after").setAttribute("points", part.after);
    setText(group.querySelector(".part-numbers"), part.numbers);
    told.push(`${group.querySelector(".part-name").textContent} ${part.numbers}`.trim());
  });
  picture.setAttribute("aria-label", `${drawing.title}: ${told.join(", ")}`);
  figure.appendChild(picture);
  if (told.some((text) => text.includes("%"))) figure.appendChild(make("figcaption", "note", drawing.title));
  countDrawn(picture);
  return figure;
}

function heatPicture(heat) {
  const figure = make("figure", "drawn");
  const picture = drawNode(heat.svg);
  picture.setAttribute("aria-label", `${heat.key.map(([, text]) => text).join(", ")}. ${heat.note}`);
  const key = make("ul", "heat-key");
  key.append(...heat.key.map(([color, text]) => {
    const item = make("li");
    const mark = make("span", "swatch");
    mark.style.background = color;
    item.append(mark, make("span", "", text));
    return item;
  }));
  figure.append(picture, key, make("figcaption", "note", heat.note));
  return figure;
}
