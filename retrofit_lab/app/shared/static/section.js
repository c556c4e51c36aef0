// Draws the house in section from plain data and lets a part of it be chosen. Stands after parts.js.

const SVG_NAMES = new Set(["svg", "g", "rect", "line", "path", "polygon", "text", "tspan", "defs", "pattern"]);

function drawNode(node) {
  if (!SVG_NAMES.has(node.tag)) return document.createComment("not drawn");
  const element = document.createElementNS("http://www.w3.org/2000/svg", node.tag);
  for (const [name, value] of Object.entries(node.attributes)) element.setAttribute(name, value);
  if (node.text) element.textContent = node.text;
  node.children.forEach((child) => element.appendChild(drawNode(child)));
  return element;
}

function sectionBlock(page, choose) {
  const block = make("section", "heat");
  const sentence = make("p", "heat-sentence");
  const picture = drawNode(page.drawing.svg);
  const parts = new Map();
  picture.querySelectorAll("[data-part]").forEach((group) => {
    const key = group.dataset.part;
    const found = (name) => group.querySelector(`.${name}`);
    parts.set(key, { group, before: found("before"), after: found("after"), numbers: found("part-numbers") });
    group.addEventListener("click", () => choose(key));
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      choose(key);
    });
  });
  const legend = make("p", "legend");
  for (const [text, name] of page.drawing.legend) legend.appendChild(legendItem(name, text));
  legend.appendChild(make("span", "item", "Numbers: parts of 100. Choose a part to see its lines."));
  const table = foldedTable("The same as a table", "Table of heat that leaves");
  block.append(sentence, picture, legend, table.details);
  return { block, sentence, picture, parts, table };
}

function showSection(view, drawing) {
  const section = view.section;
  setText(section.sentence, drawing.sentence);
  section.picture.setAttribute("aria-label", `The house in section. ${drawing.sentence}`);
  for (const [key, content] of Object.entries(drawing.parts)) {
    const part = section.parts.get(key);
    part.before.setAttribute("points", content.before);
    part.after.setAttribute("points", content.after);
    part.group.setAttribute("aria-label", content.label);
    setText(part.numbers, content.numbers);
  }
  section.table.show(drawing);
  countDrawn(section.picture);
}

// The lines that belong to a part are marked, and the first one gets the keyboard; Escape leads back.
function choosePart(view, drawing, key) {
  const same = view.chosen === key;
  markPart(view, same ? "" : key);
  if (same) return;
  setText(view.chosenText, drawing.parts[key].chosen);
  const first = [...view.rows.values()].find((row) => row.parts.includes(key));
  if (!first) return;
  // it comes to stand below what sticks to the top of the window
  const above = Math.max(view.height, view.live.offsetHeight) + view.listHead.offsetHeight;
  first.block.style.scrollMarginTop = `${above}px`;
  first.block.scrollIntoView({ block: "start" });
  first.box.focus({ preventScroll: true });
}

function markPart(view, key) {
  view.chosen = key;
  view.chosenNote.hidden = !key;
  view.section.parts.forEach((part, name) => part.group.setAttribute("aria-pressed", String(name === key)));
  view.rows.forEach((row) => row.block.classList.toggle("pointed", row.parts.includes(key)));
}

function chosenBlock(view) {
  view.chosenNote = make("p", "chosen");
  view.chosenText = make("span");
  view.chosenText.setAttribute("role", "status");
  view.chosenNote.hidden = true;
  const stop = make("button", "", "Stop showing");
  const back = () => {
    const part = view.section.parts.get(view.chosen);
    markPart(view, "");
    if (part) part.group.focus();
  };
  stop.addEventListener("click", back);
  view.list.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && view.chosen) back();
  });
  view.chosenNote.append(view.chosenText, " ", stop);
  return view.chosenNote;
}
