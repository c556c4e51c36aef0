// What a class sees: the trainer's view above the lesson and on a wall, and what a student waits for.
import { button, section, showLesson } from "./lesson_parts.js";
import { make, setText } from "./parts.js";

const COUNT_EVERY = 3000;
const FOLLOW_EVERY = 4000;
const VOTER = "retrofit-lab voter";
const TRAINER = "retrofit-lab trainer";

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
  const timer = window.setInterval(() => {
    if (!block.isConnected) window.clearInterval(timer);
    else if (!document.hidden) ask();
  }, COUNT_EVERY);
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
  rounds.forEach((round, at) => showLesson(model, place.children[at].lastElementChild, round));
}

export function showClass(model, view, root, tell) {
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
export function showStudent(model, view, page) {
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
  const open = Boolean(model.get("later").boxes);
  predict.enable((student.guess === null && !open) || student.again);
}

export function startAgain(view, page) {
  for (const part of [view.see, view.try, view.hand, view.further]) if (part) part.block.remove();
  Object.assign(view, { see: null, try: null, hand: null, further: null });
  view.predict.input.value = "";
  view.group.block.open = false;
  view.group.block.hidden = true;
  view.predict.watch.hidden = page.class && !view.class;
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

export function takeUp(model, page, tell) {
  if (!page.class) return;
  const word = trainersWord();
  if (word) tell({ kind: "trainer", word });
  model.send({ kind: "hello", voter: voterName() });
  window.setInterval(() => { if (!document.hidden) model.send({ kind: "follow" }); }, FOLLOW_EVERY);
}
