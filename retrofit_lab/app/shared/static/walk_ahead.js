// Shows where the house stands and what to ask next, from finished texts, and leads to a question.

import { make, setText } from "./parts.js";
import { say } from "./say.js";
import { button, list } from "./walk_parts.js";

/**
 * The next question that matters and is not answered yet: after the place where one is, in the order of the walk, else
 * the first.
 * @param {{stop: string, fields: {path: string, text: string}[]}[]} stops
 * @param {{stop: string, path: string}} here the question that was asked last
 * @param {{answered?: Set<string>, order?: string[]}} known what was answered since, and the stops in the order of the walk
 * @returns {{stop: string, path: string} | null}
 */
export function nextQuestion(stops, here, { answered = new Set(), order = [] } = {}) {
  const all = stops.flatMap((group) => group.fields.map((field) => ({ stop: group.stop, path: field.path })));
  const place = all.findIndex((one) => one.path === here.path);
  // a question that matters no more leaves its stop, from which the walk goes on
  const from = place < 0 ? all.findIndex((one) => order.indexOf(one.stop) >= order.indexOf(here.stop)) : place + 1;
  const after = from < 0 ? all : [...all.slice(from), ...all.slice(0, from)];
  return after.find((one) => !answered.has(one.path)) || null;
}

/** @param {{stop: string, fields: {path: string}[]}[]} stops */
export function pathsThatMatter(stops) {
  return new Set(stops.flatMap((group) => group.fields.map((field) => field.path)));
}

// What was asked last and answered since; it outlives the block, which is built anew at every stop.
export class Asked {
  constructor(file) {
    this.file = file;
    this.last = { stop: "", path: "" };
    this.answered = new Set();
  }
}

export class AheadBlock {
  /**
   * @param {(stop: string, path: string) => void} goTo
   * @param {() => void} end
   * @param {Asked} asked
   * @param {() => {here: string, order: string[]}} walk the stop where one is, and all of them in order
   */
  constructor(goTo, end, asked, walk) {
    this.goTo = goTo;
    this.asked = asked;
    this.walk = walk;
    this.block = make("details", "ahead");
    this.head = make("summary");
    this.inside = make("div");
    this.block.append(this.head, this.inside);
    this.go = button(say("next_go"), () => this.toNext(), "main");
    this.element = make("div", "aheads");
    this.end = button(say("walk_done"), end, "main");
    this.element.append(this.block, this.go, this.end);
    this.show({});
  }

  toNext() {
    const next = this.next();
    if (next) this.lead(next.stop, next.path);
  }

  next() {
    const { here, order } = this.walk();
    const last = this.asked.last.stop === here ? this.asked.last : { stop: here, path: "" };
    return nextQuestion(this.stops, last, { answered: this.asked.answered, order });
  }

  // What is asked next is worked out only once nobody has answered for a moment; until then no answer is asked again.
  isAnswered(path, answered) {
    if (answered) this.asked.answered.add(path);
    else this.asked.answered.delete(path);
    this.go.disabled = !this.next();
  }

  lead(stop, path) {
    this.asked.last = { stop, path };
    this.goTo(stop, path);
  }

  show(content) {
    this.stops = content.stops || [];
    this.element.hidden = !content.head;
    this.go.hidden = Boolean(content.enough);
    this.go.disabled = !this.next();
    this.end.hidden = !(content.enough && content.may_end);
    this.block.dataset.enough = content.enough ? "yes" : "no";
    setText(this.head, content.head || "");
    this.inside.replaceChildren(list(content.lines || []), ...this.stops.map((group) => this.group(group)));
  }

  group(group) {
    const block = make("div", "group");
    const fields = make("ul");
    for (const field of group.fields) {
      const line = make("li");
      line.appendChild(button(field.text, () => this.lead(group.stop, field.path)));
      fields.appendChild(line);
    }
    block.append(make("h2", "", group.title), fields);
    return block;
  }
}
