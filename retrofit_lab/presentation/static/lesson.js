// Draws a lesson step by step from finished sentences and figures that Python sends; computes nothing.
// Stands after parts.js and connection.js in one script. Everything arrives as text and is set as text.

function section(title, key) {
  const block = make("section", "step");
  block.dataset.step = key;
  const heading = make("h2", "", title);
  heading.tabIndex = -1;
  block.appendChild(heading);
  return { block, heading };
}

function button(text, clicked) {
  const made = make("button", "", text);
  made.type = "button";
  made.addEventListener("click", clicked);
  return made;
}

// A box with its question, its unit and a button; Enter works as the button does.
function questionForm(question, unit, buttonText, answered) {
  const form = make("form", "question");
  const label = make("label", "", question);
  const line = make("div", "line");
  const input = make("input");
  input.required = true;
  const send = make("button", "", buttonText);
  send.type = "submit";
  const unitText = make("span", "unit", unit);
  line.append(input, unitText, send);
  label.appendChild(line);
  form.appendChild(label);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    answered(input.value);
  });
  return { form, input, send };
}

function predictBlock(model, page, tell) {
  const { block } = section(page.texts.predict, "predict");
  const { form, input, send } = questionForm(
    page.predict.text, page.predict.unit, page.texts.guess,
    (text) => tell({ kind: "guess", guess: Number(text) }),
  );
  Object.assign(input, {
    type: "number", min: page.predict.low, max: page.predict.high, step: "any", id: "guess",
  });
  const watch = button(page.texts.watch, () => tell({ kind: "watch" }));
  watch.className = "quiet";
  block.append(form, make("p", "note", page.texts.guess_note), watch);
  return { block, close: () => [input, send, watch].forEach((part) => { part.disabled = true; }) };
}

function seeBlock(page) {
  const { block, heading } = section(page.texts.see, "see");
  const answer = make("div", "answer");
  block.appendChild(answer);
  return { block, heading, answer };
}

function tryBlock(page, tell) {
  const { block } = section(page.texts.try, "try");
  const { form, inputs } = numberBoxes(page.boxes, () => tell({ kind: "explore", values: readBoxes(inputs) }));
  const answer = make("div", "answer");
  answer.setAttribute("aria-live", "polite");
  block.append(make("p", "note", page.texts.try_note), form, answer);
  return { block, inputs, answer };
}

function handBlock(page, tell) {
  const { block } = section(page.texts.hand, "hand");
  const given = make("dl", "given");
  for (const [name, value] of page.hand.given) {
    const pair = make("div");
    pair.append(make("dt", "", name), make("dd", "", value));
    given.appendChild(pair);
  }
  const { form, input } = questionForm(
    page.hand.text, page.hand.unit, page.texts.check, (text) => tell({ kind: "answer", text }),
  );
  Object.assign(input, { type: "text", inputMode: "decimal", autocomplete: "off", maxLength: 40, id: "answer" });
  const mark = make("p", "mark");
  mark.setAttribute("role", "status");
  const way = make("ol", "way");
  block.append(given, form, mark, way);
  return { block, mark, way };
}

function furtherBlock(page) {
  const { block } = section(page.texts.further, "further");
  const list = make("ul");
  list.append(...page.extension.map((text) => make("li", "", text)));
  block.appendChild(list);
  return { block };
}

function groupBlock(page, tell) {
  const block = make("details", "panel");
  block.dataset.step = "group";
  block.appendChild(make("summary", "", page.texts.group));
  const answer = make("div", "answer");
  answer.setAttribute("aria-live", "polite");
  const ask = () => tell({ kind: "group" });
  block.append(answer, button(page.texts.again, ask), make("p", "note", page.texts.group_note));
  block.addEventListener("toggle", () => { if (block.open) ask(); });
  return { block, answer, ask };
}

function showMark(view, page, marked) {
  setText(view.hand.mark, marked.sentence);
  view.hand.mark.classList.toggle("right", marked.right);
  view.hand.way.replaceChildren(...marked.way.map((line) => make("li", "", line)));
  view.hand.way.hidden = !marked.way.length;
}

function showProblem(view, text) {
  view.problem.hidden = !text;
  setText(view.problem, text);
}

function buildLesson(model, root) {
  const page = model.get("page");
  const view = { line: connection({ wayBack: () => window.location.pathname + window.location.search, kept: "The lesson opens from its start." }) };
  const tell = (message) => {
    view.line.expect();
    model.send(message);
  };
  root.append(make("h1", "", page.title), make("p", "aim", page.aim), make("p", "", page.about));
  view.problem = make("div", "problem");
  view.problem.setAttribute("role", "alert");
  view.problem.hidden = true;
  view.predict = predictBlock(model, page, tell);
  view.see = seeBlock(page);
  view.try = tryBlock(page, tell);
  view.hand = handBlock(page, tell);
  view.further = furtherBlock(page);
  view.group = groupBlock(page, tell);
  view.later = [view.see, view.try, view.hand, view.further].map((part) => part.block);
  view.later.forEach((block) => { block.hidden = true; });
  root.append(view.predict.block, view.problem, view.line.block, ...view.later, view.group.block);
  view.open = () => {
    const content = model.get("revealed");
    if (!content.sentences) return;
    const first = view.later[0].hidden;
    view.later.forEach((block) => { block.hidden = false; });
    view.predict.close();
    showAnswer(model, view.see.answer, content);
    if (first) view.see.heading.focus();
    if (view.group.block.open) view.group.ask();
  };
  return view;
}

function renameSkipLink() {
  const skip = document.querySelector("a.skip");
  if (!skip) return;
  skip.textContent = "Skip to the lesson";
  skip.setAttribute("href", "#lesson");
}

function render({ model, el }) {
  const root = make("div", "kt lesson");
  root.id = "lesson";
  el.appendChild(root);
  // JupyterLab takes single keys for commands unless the focused element itself says otherwise
  root.addEventListener("focusin", (event) => event.target.setAttribute("data-lm-suppress-shortcuts", "true"));
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  renameSkipLink();
  const view = buildLesson(model, root);
  model.on("change:revealed", view.open);
  model.on("change:explored", () => {
    const content = model.get("explored");
    view.try.inputs.forEach((input, name) => { input.value = String(content.values[name]); });
    showAnswer(model, view.try.answer, content);
  });
  model.on("change:marked", () => showMark(view, model.get("page"), model.get("marked")));
  model.on("change:group", () => showAnswer(model, view.group.answer, model.get("group")));
  model.on("change:said", () => {
    view.line.came();
    showProblem(view, model.get("said").problem || "");
  });
  view.open();
  root.dataset.ready = "yes";
}

export default { render };
