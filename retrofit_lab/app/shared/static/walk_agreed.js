// The plan that was agreed on at the table: taken by its link or its file, shown, and taken out again.

import { make } from "./parts.js";
import { say } from "./say.js";
import { button, labeled, list } from "./walk_parts.js";

const MOST_BYTES = 20000;

export class AgreedBlock {
  /** @param {(message: {text?: string, beside?: boolean}) => void} agree */
  constructor(agree) {
    this.agree = agree;
    this.link = make("input");
    this.link.addEventListener("keydown", (event) => { if (event.key === "Enter") this.takeLink(); });
    this.file = make("input");
    this.file.type = "file";
    this.file.accept = ".json,application/json";
    this.file.addEventListener("change", () => this.takeFile());
    this.beside = button(say("agreed_beside"), () => agree({ beside: true }));
    this.out = button(say("agreed_out"), () => agree({ text: "" }));
    this.plan = make("div");
    this.element = make("div", "agreed");
    this.element.append(
      make("h3", "", say("agreed_title")), this.plan, make("p", "hint", say("agreed_help")),
      this.row("agreed_link", this.link), button(say("agreed_take"), () => this.takeLink()),
      this.row("agreed_file", this.file), this.beside, this.out,
    );
  }

  row(key, control) {
    const row = make("div", "field plain");
    row.append(labeled(say(key), control, `wt-${key.replace("_", "-")}`), control);
    return row;
  }

  takeLink() {
    const text = this.link.value.trim();
    if (!text) return;
    this.agree({ text });
    this.link.value = "";
  }

  async takeFile() {
    const chosen = this.file.files[0];
    if (chosen) this.agree({ text: (await chosen.slice(0, MOST_BYTES + 1).text()) });
    this.file.value = "";
  }

  /** @param {{plan: string[], beside: boolean}} content */
  show(content) {
    const none = make("p", "", say("agreed_none"));
    this.plan.replaceChildren(content.plan.length ? list(content.plan) : none);
    this.out.hidden = !content.plan.length;
    this.beside.hidden = !content.beside;
  }
}
