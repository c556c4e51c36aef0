// Draws a lesson step by step from finished sentences and figures that Python sends; computes nothing.
// Stands after parts.js and connection.js in one script. Everything arrives as text and is set as text.

const COUNT_EVERY = 3000;
const FOLLOW_EVERY = 4000;
const VOTER = "retrofit-lab voter";
const TRAINER = "retrofit-lab trainer";

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
  const enable = (on) => [input, send, watch].forEach((part) => { part.disabled = !on; });
  // what a class waits for stands above the box, where the second guess is asked
  const waits = make("p", "waits");
  waits.setAttribute("role", "status");
  block.insertBefore(waits, form);
  return { block, input, watch, enable, waits, draw: () => showAnswer(model, shown, page.predict.shown) };
}

// A browser draws a name by chance, so that each counts once, in whatever tab and however often it is loaded.
function voterName() {
  const draw = () => Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  try {
    const known = window.localStorage.getItem(VOTER);
    if (known) return known;
    const drawn = draw();
    window.localStorage.setItem(VOTER, drawn);
    return drawn;
  } catch { return draw(); }
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

// How others come in: the address, the two words, and a code for the camera.
function joinBlock(join, texts) {
  const block = make("div", "join");
  block.hidden = !join.address;
  if (block.hidden) return block;
  const said = make("p", "address", `${texts.address} `);
  said.append(make("b", "", join.address));
  if (join.words) said.append(` ${texts.words} `, make("b", "", join.words));
  block.append(said);
  if (join.picture) {
    const picture = make("img");
    Object.assign(picture, { src: join.picture, alt: texts.qr });
    block.append(picture);
  }
  return block;
}

// Buttons of which one is pressed.
function pressedRow(texts, name, pressed) {
  const row = make("div", "line");
  const buttons = Object.entries(texts).map(([key, text]) => {
    const one = button(text, () => pressed(key));
    one.dataset[name] = key;
    return one;
  });
  row.append(...buttons);
  const show = (now) => buttons.forEach((one) => one.setAttribute("aria-pressed", String(one.dataset[name] === now)));
  return { row, show };
}

// What the trainer of a class sees above the lesson: how many have guessed, how far the class is, and when asked how they guessed.
function classBlock(model, tell) {
  const { texts, shows, stages, join } = model.get("class_view");
  const { block } = section(texts.title, "class");
  const count = make("p", "count");
  count.setAttribute("role", "status");
  const told = make("div", "answer");
  let show = "count";
  let wall = false;
  const ask = () => tell({ kind: "class", show, wall });
  const showing = pressedRow(shows, "show", (key) => { show = key; ask(); });
  const staging = pressedRow(stages, "stage", (stage) => tell({ kind: "stage", stage, show, wall }));
  const onWall = button(texts.wall, () => {
    wall = !wall;
    document.documentElement.classList.toggle("wall", wall);
    setText(onWall, wall ? texts.leave : texts.wall);
    if (wall && document.documentElement.requestFullscreen) document.documentElement.requestFullscreen().catch(() => {});
    else if (document.fullscreenElement) document.exitFullscreen();
    ask();
  });
  onWall.className = "on-wall";
  const empty = button(texts.empty, () => {
    const sure = empty.textContent === texts.sure;
    setText(empty, sure ? texts.empty : texts.sure);
    if (sure) { show = "count"; tell({ kind: "empty", wall }); }
  });
  empty.className = "quiet";
  showing.row.append(onWall);
  const more = make("div", "more");
  more.append(empty, make("p", "note", texts.note), make("p", "note", texts.kept));
  block.append(joinBlock(join, texts), count, staging.row, showing.row, told, more);
  window.setInterval(() => { if (!document.hidden) ask(); }, COUNT_EVERY);
  return { block, count, told, showing, staging };
}

// One spread, or that of both rounds beside each other.
function showRounds(model, place, rounds) {
  place.classList.toggle("twice", rounds.length > 1);
  place.replaceChildren(...rounds.map((round) => {
    const part = make("div", "round");
    part.append(make("h3", "", round.title), make("div", "answer"));
    part.firstElementChild.hidden = !round.title;
    return part;
  }));
  rounds.forEach((round, at) => showAnswer(model, place.children[at].lastElementChild, round));
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
  view.class.showing.show(content.show);
  view.class.staging.show(content.stage);
  const told = JSON.stringify(content.told);
  if (told === view.told) return;
  view.told = told;
  showRounds(model, view.class.told, content.told.rounds);
}

// Where the class is: a guess that waits for the trainer, a second one that is asked for, or a class that begins anew.
function showStudent(model, view, page) {
  const student = model.get("student");
  if (student.name === undefined) return;
  const { predict } = view;
  const fresh = view.className !== undefined && student.name !== view.className;
  view.className = student.name;
  setText(predict.waits, student.said || (fresh ? student.forgotten : ""));
  if (fresh) startAgain(view, page);
  if (student.guess !== null && document.activeElement !== predict.input) {
    if (!student.again || predict.input.disabled) predict.input.value = student.again ? "" : String(student.guess);
  }
  const open = Boolean(model.get("revealed").sentences);
  predict.enable((student.guess === null && !open) || student.again);
}

function startAgain(view, page) {
  for (const part of [view.see, view.try, view.hand, view.further]) if (part) part.block.remove();
  Object.assign(view, { see: null, try: null, hand: null, further: null });
  view.predict.input.value = "";
  view.group.block.open = false;
  view.group.block.hidden = true;
  view.predict.watch.hidden = page.class && !view.class;
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
    view.predict.enable(false);
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

// The trainer's address carries a word behind the #, where no server and no log sees it; it is taken out at once,
// since this page goes on a wall, and this tab alone remembers it.
function trainersWord() {
  const word = new URLSearchParams(window.location.hash.slice(1)).get("class");
  try {
    if (word) window.sessionStorage.setItem(TRAINER, word);
    if (word) window.history.replaceState(window.history.state, "", window.location.href.split("#")[0]);
    return word || window.sessionStorage.getItem(TRAINER);
  } catch { return word; }
}

function takeUp(model, page, tell) {
  if (!page.class) return;
  const word = trainersWord();
  if (word) tell({ kind: "trainer", word });
  model.send({ kind: "hello", voter: voterName() });
  window.setInterval(() => { if (!document.hidden) model.send({ kind: "follow" }); }, FOLLOW_EVERY);
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
    if (!content.sentences || !view.try) return;
    view.try.inputs.forEach((input, name) => { input.value = String(content.values[name]); });
    showAnswer(model, view.try.answer, content);
  });
  model.on("change:marked", () => { if (view.hand && model.get("marked").way) showMark(view, model.get("marked")); });
  model.on("change:group", () => {
    const content = model.get("group");
    if (content.sentences) showAnswer(model, view.group.answer, content);
  });
  model.on("change:student", () => showStudent(model, view, model.get("page")));
  model.on("change:class_view", () => showClass(model, view, root, tell));
  model.on("change:said", () => {
    view.line.came();
    showProblem(view, model.get("said").problem || "");
  });
  openLater(model, view, tell);
  showClass(model, view, root, tell);
  showStudent(model, view, model.get("page"));
  takeUp(model, model.get("page"), tell);
  root.dataset.ready = "yes";
}

export default { render };
