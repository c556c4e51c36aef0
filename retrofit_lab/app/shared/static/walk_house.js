// The house in section as far as it is known, and a button for each part that leads to its next open question.

import { drawNode } from "./house.js";
import { make, setText } from "./parts.js";
import { button } from "./walk_parts.js";

// The part whose name stands between the walls, where a long one would cross the window; its button says all of it.
const INSIDE = "plugs";

export class DrawnHouse {
  /**
   * @param {(stop: string, path: string) => void} goTo
   * @param {HTMLDetailsElement} details
   */
  constructor(goTo, details) {
    this.goTo = goTo;
    this.element = details;
    this.element.classList.add("drawn");
    this.picture = make("div");
    this.list = make("div", "parts");
    this.element.append(this.picture, this.list);
    this.shape = "";
    this.shown = new Map();
    this.parts = {};
  }

  /** @param {any} content */
  show(content) {
    this.element.hidden = !content.svg;
    if (!content.svg) return;
    const shape = JSON.stringify([content.svg, content.title]);
    if (shape !== this.shape) this.draw(content);
    this.shape = shape;
    this.parts = content.parts;
    for (const [key, part] of Object.entries(content.parts)) {
      const { name, line } = this.shown.get(key);
      line.dataset.known = part.known;
      setText(line, `${part.mark} ${part.name}: ${part.numbers}`);
      setText(name, `${part.mark} ${key === INSIDE ? part.name.split(/[ ,]/)[0] : part.name}`);
    }
  }

  draw(content) {
    setText(this.element.querySelector("summary"), content.title);
    const picture = drawNode(content.svg);
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", content.title);
    picture.querySelectorAll("[data-part]").forEach((group) => {
      for (const name of ["role", "tabindex", "aria-pressed"]) group.removeAttribute(name);
    });
    this.picture.replaceChildren(picture);
    this.list.replaceChildren();
    this.shown.clear();
    for (const key of Object.keys(content.parts)) {
      const line = button("", () => this.goTo(this.parts[key].stop, this.parts[key].path));
      line.dataset.part = key;
      this.list.appendChild(line);
      this.shown.set(key, { line, name: picture.querySelector(`[data-part="${key}"] .part-name`) });
    }
  }
}
