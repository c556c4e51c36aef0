// The house in section as far as it is known: a part leads to its next open question.

import { drawNode } from "./house.js";
import { make, setText } from "./parts.js";

export class DrawnHouse {
  /**
   * @param {(stop: string, path: string) => void} goTo
   * @param {HTMLDetailsElement} details
   */
  constructor(goTo, details) {
    this.goTo = goTo;
    this.element = details;
    this.element.classList.add("drawn");
    this.inside = make("div");
    this.element.appendChild(this.inside);
    this.shape = "";
    this.groups = new Map();
    this.parts = {};
  }

  /** @param {any} content */
  show(content) {
    this.element.hidden = !content.svg;
    if (!content.svg) return;
    const shape = JSON.stringify(content.svg);
    if (shape !== this.shape) this.draw(content);
    this.shape = shape;
    this.parts = content.parts;
    setText(this.element.querySelector("summary"), content.title);
    for (const [key, part] of Object.entries(content.parts)) {
      const group = this.groups.get(key);
      group.dataset.known = part.known;
      group.setAttribute("aria-label", part.label);
      setText(group.querySelector(".part-numbers"), part.numbers);
    }
  }

  draw(content) {
    const picture = drawNode(content.svg);
    picture.setAttribute("aria-label", content.title);
    this.inside.replaceChildren(picture);
    this.groups.clear();
    picture.querySelectorAll("[data-part]").forEach((group) => {
      const key = /** @type {SVGElement} */ (group).dataset.part;
      const go = () => this.goTo(this.parts[key].stop, this.parts[key].path);
      group.removeAttribute("aria-pressed");
      group.addEventListener("click", go);
      group.addEventListener("keydown", (event) => {
        const { key: pressed } = /** @type {KeyboardEvent} */ (event);
        if (pressed !== "Enter" && pressed !== " ") return;
        event.preventDefault();
        go();
      });
      this.groups.set(key, group);
    });
  }
}
