// A box in which a place is typed, with the matches that Python sends in a list below; computes nothing.
// The list follows the pattern of a combobox: the box keeps the focus, the arrow keys go through the list.

import { make, setText } from "./parts.js";
import { say } from "./say.js";

const ASK_AFTER = 200;
let placeBoxes = 0;

export class PlaceBox {
  constructor(model, taken) {
    placeBoxes += 1;
    this.model = model;
    this.taken = taken;
    this.rows = [];
    this.at = -1;
    this.name = `wt-places-${placeBoxes}`;
    this.input = make("input");
    this.list = make("ul", "matches");
    this.told = make("p", "told");
    this.list.id = this.name;
    this.list.setAttribute("role", "listbox");
    this.list.setAttribute("aria-label", say("stations"));
    this.told.setAttribute("role", "status");
    for (const [name, value] of [
      ["role", "combobox"], ["aria-autocomplete", "list"], ["aria-controls", this.name], ["aria-expanded", "false"],
    ]) this.input.setAttribute(name, value);
    this.input.autocomplete = "off";
    this.input.spellcheck = false;
    this.input.addEventListener("input", () => this.later());
    this.input.addEventListener("keydown", (event) => this.onKey(event));
    this.input.addEventListener("blur", () => this.close());
    this.heard = () => this.show();
    model.on("change:places", this.heard);
    this.element = make("div", "place");
    this.element.append(this.input, this.list, this.told);
    this.close();
  }

  later() {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => {
      if (this.element.isConnected) this.model.send({ kind: "places", text: this.input.value });
    }, ASK_AFTER);
  }

  show() {
    if (!this.element.isConnected) {
      this.model.off("change:places", this.heard);
      return;
    }
    const places = this.model.get("places");
    if (places.asked !== this.input.value || document.activeElement !== this.input) return;
    this.rows = places.rows;
    this.at = -1;
    this.list.replaceChildren(...this.rows.map((row, place) => this.option(row, place)));
    setText(this.told, places.told);
    this.open(this.rows.length > 0);
  }

  option(row, place) {
    const made = make("li", "", row.text);
    made.id = `${this.name}-${place}`;
    made.setAttribute("role", "option");
    made.setAttribute("aria-selected", "false");
    // before the box loses the focus, which closes the list
    made.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      this.choose(place);
    });
    return made;
  }

  open(shown) {
    this.list.hidden = !shown;
    this.input.setAttribute("aria-expanded", String(shown));
    if (!shown) this.mark(-1);
  }

  close() {
    this.open(false);
  }

  mark(place) {
    this.at = place;
    [...this.list.children].forEach((line, number) =>
      line.setAttribute("aria-selected", String(number === place)),
    );
    if (place < 0) {
      this.input.removeAttribute("aria-activedescendant");
      return;
    }
    this.input.setAttribute("aria-activedescendant", `${this.name}-${place}`);
    this.list.children[place].scrollIntoView({ block: "nearest" });
  }

  choose(place) {
    const row = this.rows[place];
    clearTimeout(this.waiting);
    this.input.value = row.word;
    setText(this.told, row.text);
    this.close();
    this.taken(this.input);
  }

  onKey(event) {
    const count = this.rows.length;
    const open = !this.list.hidden;
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step && count) {
      this.open(true);
      this.mark(this.at < 0 && step < 0 ? count - 1 : (this.at + step + count) % count);
    } else if (open && event.key === "Enter" && this.at >= 0) this.choose(this.at);
    else if (open && event.key === "Escape") this.close();
    else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }
}

