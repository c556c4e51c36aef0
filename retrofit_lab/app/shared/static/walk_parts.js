// Small elements of the walkthrough form: buttons, lists, labels, choices.

import { make } from "./parts.js";

export function button(text, act, className) {
  const made = make("button", className || "", text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

export function list(texts, className) {
  const made = make("ul", className || "");
  texts.forEach((text) => made.appendChild(make("li", "", text)));
  return made;
}

export function idOf(prefix, path) {
  return `wt-${prefix}-${path.replace(/[^A-Za-z0-9]+/g, "-")}`;
}

export function labeled(text, control, id) {
  const label = make("label", "", text);
  label.htmlFor = id;
  control.id = id;
  return label;
}

export function choice(options, value) {
  const select = make("select");
  for (const option of options) {
    const made = make("option", "", option.text);
    made.value = option.word;
    select.appendChild(made);
  }
  if (value) select.value = value;
  return select;
}
