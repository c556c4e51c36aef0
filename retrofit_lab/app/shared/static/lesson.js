// Draws a lesson step by step from finished sentences and figures that Python sends; computes nothing.
// Stands after parts.js and connection.js in one script. Everything arrives as text and is set as text.

const COUNT_EVERY = 3000;
const LOOPBACK = new Set(["127.0.0.1", "localhost", "[::1]"]);

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
function questionForm(question, unit, buttonText, id, answered) {
  const form = make("form", "question");
  const label = make("label", "", question);
  const line = make("div", "line");
  const input = make("input");
  input.required = true;
  label.htmlFor = id;
  input.id = id;
  const send = make("button", "", buttonText);
  send.type = "submit";
  const unitText = make("span", "unit", unit);
  line.append(input, unitText, send);
  form.append(label, line);
  whenEntered(input, () => form.requestSubmit(send));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    answered(input.value);
  });
  return { form, input, send, label };
}

function predictBlock(model, page, tell) {
  const { block } = section(page.texts.predict, "predict");
  const { form, input, send } = questionForm(
    page.predict.text, page.predict.unit, page.texts.guess, `guess-${page.number}`,
    (text) => tell({ kind: "guess", guess: Number(text) }),
  );
  Object.assign(input, {
    type: "number", min: page.predict.low, max: page.predict.high, step: "any",
  });
  const watch = button(page.texts.watch, () => tell({ kind: "watch" }));
  watch.className = "quiet";
  watch.hidden = page.class;
  const shown = make("div", "answer");
  block.append(shown, form, make("p", "note", page.texts.guess_note), watch);
  const close = () => [input, send, watch].forEach((part) => { part.disabled = true; });
  return { block, input, watch, close, draw: () => showAnswer(model, shown, page.predict.shown) };
}

// The first guess stays, also when the page is loaded again; this tab alone remembers it.
function memory(page) {
  return `retrofit-lab lesson ${page.number}`;
}

function remember(page, text) {
  try { window.sessionStorage.setItem(memory(page), text); } catch { /* a browser may keep nothing */ }
}

function remembered(page) {
  try { return window.sessionStorage.getItem(memory(page)); } catch { return null; }
}

function seeBlock(page) {
  const { block, heading } = section(page.texts.see, "see");
  const answer = make("div", "answer");
  block.appendChild(answer);
  return { block, heading, answer };
}

function tryBlock(page, later, tell) {
  const { block } = section(page.texts.try, "try");
  const { form, inputs } = numberBoxes(later.boxes, () => tell({ kind: "explore", values: readBoxes(inputs) }));
  const answer = make("div", "answer");
  answer.setAttribute("aria-live", "polite");
  block.append(make("p", "note", page.texts.try_note), form, answer);
  return { block, inputs, answer };
}

function handBlock(page, later, tell) {
  const { block } = section(page.texts.hand, "hand");
  const given = make("dl", "given");
  for (const [name, value] of later.hand.given) {
    const pair = make("div");
    pair.append(make("dt", "", name), make("dd", "", value));
    given.appendChild(pair);
  }
  const { form, input, label } = questionForm(
    later.hand.text, later.hand.unit, page.texts.check, `answer-${page.number}`, (text) => tell({ kind: "answer", text }),
  );
  Object.assign(input, { type: "text", inputMode: "decimal", autocomplete: "off", maxLength: 40 });
  const mark = make("p", "mark");
  mark.setAttribute("role", "status");
  const way = make("ol", "way");
  // the question, what it gives, and then the box to answer in
  label.after(given);
  block.append(form, mark, way);
  return { block, mark, way };
}

function furtherBlock(page, later) {
  const { block } = section(page.texts.further, "further");
  const list = make("ul");
  list.append(...later.extension.map((text) => make("li", "", text)));
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

// What the trainer of a class sees above the lesson: how many have guessed, and when asked how.
function classBlock(model, tell) {
  const { texts, shows } = model.get("class_view");
  const { block } = section(texts.title, "class");
  const count = make("p", "count");
  count.setAttribute("role", "status");
  const address = make("p", "address", texts.address);
  address.appendChild(make("b", "", window.location.href.split("#")[0]));
  address.hidden = LOOPBACK.has(window.location.hostname);
  const told = make("div", "answer");
  const row = make("div", "line");
  let show = "count";
  const ask = () => tell({ kind: "class", show });
  const buttons = Object.entries(shows).map(([key, text]) => {
    const one = button(text, () => { show = key; ask(); });
    one.dataset.show = key;
    return one;
  });
  const empty = button(texts.empty, () => {
    const sure = empty.textContent === texts.sure;
    setText(empty, sure ? texts.empty : texts.sure);
    if (sure) { show = "count"; tell({ kind: "empty" }); }
  });
  empty.className = "quiet";
  row.append(...buttons, empty);
  block.append(address, count, row, told, make("p", "note", texts.note), make("p", "note", texts.kept));
  window.setInterval(() => { if (!document.hidden) ask(); }, COUNT_EVERY);
  return { block, count, told, buttons };
}

function showClass(model, view, root, tell) {
  const content = model.get("class_view");
  if (!content.count) return;
  if (!view.class) {
    view.class = classBlock(model, tell);
    root.insertBefore(view.class.block, root.querySelector("[data-step=predict]"));
    view.predict.watch.hidden = false;
    view.group.block.hidden = true;
  }
  setText(view.class.count, content.count);
  view.class.buttons.forEach((one) => one.setAttribute("aria-pressed", String(one.dataset.show === content.show)));
  const told = JSON.stringify(content.told);
  if (told === view.told) return;
  view.told = told;
  showAnswer(model, view.class.told, content.told);
}

function showMark(view, marked) {
  setText(view.hand.mark, marked.sentence);
  view.hand.mark.classList.toggle("right", marked.right);
  view.hand.way.replaceChildren(...marked.way.map((line) => make("li", "", line)));
  view.hand.way.hidden = !marked.way.length;
}

function showProblem(view, text) {
  view.problem.hidden = !text;
  setText(view.problem, text);
}

// Sends a message, and says so when nothing comes back.
function teller(model, view) {
  return (message) => {
    view.line.expect();
    model.send(message);
  };
}

function buildLesson(model, root, view, tell) {
  const page = model.get("page");
  const aim = make("p", "aim", page.texts.aim);
  aim.appendChild(make("span", "", page.aim));
  root.append(make("h1", "", page.title), aim, make("p", "", page.about));
  view.problem = make("div", "problem");
  view.problem.setAttribute("role", "alert");
  view.problem.hidden = true;
  view.predict = predictBlock(model, page, tell);
  view.later = make("div");
  view.group = groupBlock(page, tell);
  view.group.block.hidden = true;
  root.append(view.predict.block, view.problem, view.line.block, view.later, view.group.block);
  view.predict.draw();
}

// What opens with the guess is built then: before, the page does not hold it.
function openLater(model, view, tell) {
  const [page, later, content] = [model.get("page"), model.get("later"), model.get("revealed")];
  if (!content.sentences) return;
  if (!view.see) {
    view.see = seeBlock(page);
    view.try = tryBlock(page, later, tell);
    view.hand = handBlock(page, later, tell);
    view.further = furtherBlock(page, later);
    view.later.append(...[view.see, view.try, view.hand, view.further].map((part) => part.block));
    if (view.predict.input.value) remember(page, view.predict.input.value);
    view.predict.close();
    view.group.block.hidden = !page.class || Boolean(view.class);
    view.see.heading.focus();
  }
  showAnswer(model, view.see.answer, content);
  if (view.group.block.open) view.group.ask();
}

function renameSkipLink(id) {
  const skip = document.querySelector("a.skip");
  if (!skip) return;
  skip.textContent = "Skip to the lesson";
  skip.setAttribute("href", `#${id}`);
}

// The trainer's address carries a word behind the #, where no server and no log sees it.
function takeUp(page, view, tell) {
  const word = new URLSearchParams(window.location.hash.slice(1)).get("class");
  if (word) tell({ kind: "trainer", word });
  const guess = page.class ? remembered(page) : null;
  if (guess === null) return;
  view.predict.input.value = guess;
  tell({ kind: "again", guess: Number(guess) });
}

function render({ model, el }) {
  const root = make("div", "kt lesson");
  root.id = `lesson-${model.get("page").number}`;
  el.appendChild(root);
  // JupyterLab takes single keys for commands unless the focused element itself says otherwise
  root.addEventListener("focusin", (event) => event.target.setAttribute("data-lm-suppress-shortcuts", "true"));
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  renameSkipLink(root.id);
  const view = { line: connection({ goBack: () => window.location.reload(), kept: "" }) };
  const tell = teller(model, view);
  buildLesson(model, root, view, tell);
  model.on("change:revealed", () => openLater(model, view, tell));
  model.on("change:explored", () => {
    const content = model.get("explored");
    view.try.inputs.forEach((input, name) => { input.value = String(content.values[name]); });
    showAnswer(model, view.try.answer, content);
  });
  model.on("change:marked", () => showMark(view, model.get("marked")));
  model.on("change:group", () => showAnswer(model, view.group.answer, model.get("group")));
  model.on("change:class_view", () => showClass(model, view, root, tell));
  model.on("change:said", () => {
    view.line.came();
    showProblem(view, model.get("said").problem || "");
  });
  openLater(model, view, tell);
  showClass(model, view, root, tell);
  takeUp(model.get("page"), view, tell);
  root.dataset.ready = "yes";
}

export default { render };
