// Draws a lesson step by step from finished sentences and figures that Python sends; computes nothing.
// Everything arrives as text and is set as text.
import { showClass, showStudent, takeUp } from "./class_view.js";
import { connection } from "./connection.js";
import { showLesson } from "./lesson_parts.js";
import {
  cautionBlock, furtherBlock, groupBlock, handBlock, predictBlock, refillBoxes, seeBlock, showMark, topBlock, tryBlock,
} from "./lesson_steps.js";
import { make, setText } from "./parts.js";
import { say, setTexts } from "./say.js";

const LOST_WORDS = ["ended", "silent", "slow", "still", "again"];

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
  setTexts(page.texts);
  document.documentElement.lang = page.language;
  const aim = make("p", "aim", say("aim"));
  aim.appendChild(make("span", "", page.aim));
  view.problem = make("div", "problem");
  view.problem.setAttribute("role", "alert");
  view.problem.hidden = true;
  view.predict = predictBlock(model, page, tell);
  view.later = make("div");
  view.group = groupBlock(tell);
  view.group.block.hidden = true;
  root.replaceChildren(
    topBlock(page, tell), make("h1", "", page.title), aim, make("p", "", page.about), cautionBlock(page),
    view.predict.block, view.problem, view.line.block, view.later, view.group.block,
  );
  view.predict.draw();
}

// What opens with the guess is built then: before, the page does not hold it.
function openLater(model, view, tell) {
  const later = model.get("later");
  if (!later.boxes) return;
  if (!view.try) {
    view.predict.enable(false);
    view.try = tryBlock(later, tell);
    view.later.append(view.try.block);
    if (later.puzzle) view.try.heading.focus();
  }
  openAnswer(model, view, tell);
}

function openAnswer(model, view, tell) {
  const [page, later, content] = [model.get("page"), model.get("later"), model.get("revealed")];
  if (!content.sentences || !later.hand) return;
  if (!view.see) {
    view.see = seeBlock();
    view.hand = handBlock(page, later, tell);
    view.further = furtherBlock(later);
    const order = later.puzzle ? [view.try, view.see] : [view.see, view.try];
    view.later.replaceChildren(...[...order, view.hand, view.further].map((part) => part.block));
    if (view.try.open) view.try.open.hidden = true;
    view.group.block.hidden = !page.class || Boolean(view.class);
    view.see.heading.focus();
  }
  showLesson(model, view.see.answer, content);
  if (view.group.block.open) view.group.ask();
}

function showExplored(model, view) {
  const content = model.get("explored");
  if (!content.values || !view.try) return;
  refillBoxes(view.try, content.values);
  showLesson(model, view.try.answer, content);
}

function renameSkipLink(id) {
  const skip = document.querySelector("a.skip");
  if (!skip) return;
  skip.textContent = say("skip");
  skip.setAttribute("href", `#${id}`);
}

function render({ model, el }) {
  const root = make("div", "kt lesson");
  root.id = `lesson-${model.get("page").number}`;
  el.appendChild(root);
  // JupyterLab takes single keys for commands unless the focused element itself says otherwise
  root.addEventListener("focusin", (event) => event.target.setAttribute("data-lm-suppress-shortcuts", "true"));
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  const { texts } = model.get("page");
  const words = Object.fromEntries(LOST_WORDS.map((name) => [name, texts[`lost_${name}`]]));
  const line = connection({ goBack: () => window.location.reload(), kept: "", words });
  /** @type {any} */
  let view = {};
  const tell = (message) => teller(model, view)(message);
  const build = () => {
    view = { line };
    buildLesson(model, root, view, tell);
    renameSkipLink(root.id);
    openLater(model, view, tell);
    showExplored(model, view);
    showClass(model, view, root, tell);
    showStudent(model, view, model.get("page"));
  };
  build();
  model.on("change:page", build);
  model.on("change:later", () => openLater(model, view, tell));
  model.on("change:revealed", () => openLater(model, view, tell));
  model.on("change:explored", () => showExplored(model, view));
  model.on("change:marked", () => { if (view.hand) showMark(view.hand, model.get("marked")); });
  model.on("change:group", () => {
    const content = model.get("group");
    if (content.sentences) showLesson(model, view.group.answer, content);
  });
  model.on("change:student", () => showStudent(model, view, model.get("page")));
  model.on("change:class_view", () => showClass(model, view, root, tell));
  model.on("change:said", () => {
    view.line.came();
    showProblem(view, model.get("said").problem || "");
  });
  takeUp(model, model.get("page"), tell);
  root.dataset.ready = "yes";
}

export default { render };
