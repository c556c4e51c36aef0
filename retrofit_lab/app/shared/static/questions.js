// The questions of the page: a form and an answer each, drawn from plain data; open ones are answered again after a pick.
import { make, numberBoxes, readBoxes, setText, showAnswer } from "./parts.js";
import { ask, button } from "./kept.js";
import { say } from "./say.js";

const BUSY_AFTER = 300;

export function questionBlock(model, view, panel) {
  const block = make("details", "panel");
  block.dataset.panel = panel.key;
  block.appendChild(make("summary", "", panel.title));
  const made = { block, answer: make("div", "answer"), inputs: new Map(), waiting: 0, own: false, shown: "" };
  const changed = () => {
    const wrong = outOfRange(panel.fields, made.inputs);
    setText(problem, wrong);
    problem.hidden = !wrong;
    made.own = true;
    if (!wrong) send();
  };
  const { form, inputs } = numberBoxes(panel.fields, changed);
  made.inputs = inputs;
  const problem = make("p", "problem");
  problem.setAttribute("role", "alert");
  problem.hidden = true;
  block.append(form, problem, made.answer);
  const send = () => {
    model.send({ kind: "ask", panel: panel.key, values: readBoxes(inputs) });
    busy(made);
  };
  block.addEventListener("toggle", () => {
    if (block.open) send();
    else model.send({ kind: "close", panel: panel.key });
  });
  return made;
}

/**
 * What is wrong with a number that someone typed; empty where all are within their bounds.
 * @param {{name: string, label: string, low: number, high: number, choices: string[]}[]} fields
 * @param {Map<string, {value: string}>} inputs
 */
export function outOfRange(fields, inputs) {
  for (const { name, label, low, high, choices } of fields) {
    const text = inputs.get(name).value.trim();
    const number = Number(text);
    const fine = text !== "" && Number.isFinite(number) && number >= low && number <= high;
    if (!choices.length && !fine) return `${label}: ${say("number_out", { low, high })}`;
  }
  return "";
}

function busy(made) {
  clearTimeout(made.waiting);
  made.waiting = setTimeout(() => {
    made.answer.setAttribute("aria-busy", "true");
    if (!made.answer.children.length) made.answer.replaceChildren(make("p", "busy", say("working")));
  }, BUSY_AFTER);
}

export function showQuestions(model, view) {
  for (const [key, content] of Object.entries(model.get("panels"))) {
    const panel = view.panels.get(key);
    const text = JSON.stringify(content);
    if (!panel) continue;
    clearTimeout(panel.waiting);
    panel.answer.removeAttribute("aria-busy");
    if (panel.shown === text) continue;
    panel.shown = text;
    panel.inputs.forEach((input, name) => {
      if (document.activeElement !== input) input.value = String(content.values[name]);
    });
    showAnswer(model, panel.answer, content);
    if (content.tick) panel.answer.appendChild(button(content.tick_label, () => ask(model, view, content.tick)));
    if (panel.own) view.speak(content.sentences[0]);
    panel.own = false;
  }
}
