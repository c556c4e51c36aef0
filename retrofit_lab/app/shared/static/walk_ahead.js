// Shows where the house stands and what to ask next, from finished texts, and leads to a question.

import { make, setText } from "./parts.js";
import { say } from "./say.js";
import { button, list } from "./walk_parts.js";

/**
 * The next question that matters: after the place where one is, in the order of the walk, else the first.
 * @param {{stop: string, fields: {path: string, text: string}[]}[]} stops
 * @param {string} here path of the question that was asked last
 * @returns {{stop: string, path: string} | null}
 */
export function nextQuestion(stops, here) {
  const all = stops.flatMap((group) => group.fields.map((field) => ({ stop: group.stop, path: field.path })));
  const place = all.findIndex((one) => one.path === here);
  return all.length ? all[(place + 1) % all.length] : null;
}

/** @param {{stop: string, fields: {path: string}[]}[]} stops */
export function pathsThatMatter(stops) {
  return new Set(stops.flatMap((group) => group.fields.map((field) => field.path)));
}

export class AheadBlock {
  constructor(goTo, end) {
    this.goTo = goTo;
    this.last = "";
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
    const next = nextQuestion(this.stops, this.last);
    if (next) this.lead(next.stop, next.path);
  }

  lead(stop, path) {
    this.last = path;
    this.goTo(stop, path);
  }

  show(content) {
    this.stops = content.stops || [];
    this.element.hidden = !content.head;
    this.go.hidden = Boolean(content.enough);
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
    block.append(make("h3", "", group.title), fields);
    return block;
  }
}
