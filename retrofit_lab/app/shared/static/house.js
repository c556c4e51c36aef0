// Draws the house in section from plain data, in dollars or in heat, and lets a part of it be chosen.
import { countDrawn, foldedTable, make, setText } from "./parts.js";
import { say } from "./say.js";

const SVG_NAMES = new Set(["svg", "g", "rect", "line", "path", "polygon", "text", "tspan", "defs", "pattern"]);

export function drawNode(node) {
  if (!SVG_NAMES.has(node.tag)) return document.createComment("not drawn");
  const element = document.createElementNS("http://www.w3.org/2000/svg", node.tag);
  for (const [name, value] of Object.entries(node.attributes)) element.setAttribute(name, value);
  if (node.text) element.textContent = node.text;
  node.children.forEach((child) => element.appendChild(drawNode(child)));
  return element;
}

/**
 * @param {any} page
 * @param {{choose: (part: string) => void, point: (part: string) => void, counted: () => void}} told
 */
export function houseBlock(page, told) {
  const block = make("section", "house");
  const head = make("div", "house-head");
  const { form, counts } = countedBox(told.counted);
  head.append(make("h2", "", say("house_title")), form);
  const sentence = make("p", "house-sentence");
  const picture = drawNode(page.drawing.svg);
  const parts = new Map();
  picture.querySelectorAll("[data-part]").forEach((group) => {
    const key = group.dataset.part;
    const found = (name) => group.querySelector(`.${name}`);
    parts.set(key, { group, before: found("before"), after: found("after"), numbers: found("part-numbers") });
    group.addEventListener("click", () => told.choose(key));
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      told.choose(key);
    });
    for (const [name, on] of [["pointerenter", key], ["pointerleave", ""], ["focus", key], ["blur", ""]]) {
      group.addEventListener(name, () => told.point(on));
    }
  });
  const table = foldedTable(say("table"), say("answer_table", { title: say("house_title") }));
  block.append(head, sentence, picture, table.details);
  return { block, sentence, picture, parts, table, counts };
}

function countedBox(changed) {
  const form = make("fieldset", "counted");
  form.appendChild(make("legend", "heading", say("count_label")));
  const radios = ["dollars", "heat"].map((name) => {
    const label = make("label");
    const radio = make("input");
    Object.assign(radio, { type: "radio", name: "house-counts", value: name, checked: name === "dollars" });
    radio.addEventListener("change", changed);
    label.append(radio, make("span", "", say(`count_${name}`)));
    form.appendChild(label);
    return radio;
  });
  return { form, counts: () => radios.find((radio) => radio.checked).value };
}

export function showHouse(house, drawing) {
  const content = drawing[house.counts()];
  setText(house.sentence, content.sentence);
  house.picture.setAttribute("aria-label", content.sentence);
  for (const [key, part] of house.parts) {
    const now = content.parts[key];
    part.before.setAttribute("points", now.before);
    part.after.setAttribute("points", now.after);
    part.group.setAttribute("aria-label", `${now.label} ${drawing.picked[key]}`);
    setText(part.numbers, now.numbers);
  }
  house.table.show(content);
  countDrawn(house.picture);
}

export function markHouse(house, key) {
  house.parts.forEach((part, name) => part.group.setAttribute("aria-pressed", String(name === key)));
}

export function pointAtParts(house, parts) {
  house.parts.forEach((part, name) => part.group.classList.toggle("pointed", parts.includes(name)));
}
