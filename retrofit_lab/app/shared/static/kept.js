// What a visitor does with a plan: keep it beside others, carry it in a link or a file.
import { fillTable, make, setHidden, tableBlock } from "./parts.js";
import { say } from "./say.js";

// Whatever is asked of Python is answered within a time, or the visitor is told and shown a way back.
export function request(model, view, message) {
  view.line.expect();
  model.send(message);
}

export function ask(model, view, ticked) {
  if (ticked.join() === model.get("ticked").join()) return;
  view.line.expect();
  model.set("ticked", ticked);
  model.save_changes();
}

export function button(text, act, className) {
  const made = make("button", className || "", text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

export function keptBlock(model, view) {
  const page = model.get("page");
  const block = make("section", "choices");
  block.id = "choices";
  const name = make("input");
  Object.assign(name, { type: "text", maxLength: page.most_letters, placeholder: say("kept_example") });
  const label = make("label", "", `${say("kept_name")} `);
  label.appendChild(name);
  const keep = button(say("kept_keep"), () => {
    request(model, view, { kind: "keep", name: name.value });
    name.value = "";
  });
  const form = make("div", "ways");
  form.append(label, keep);
  view.keptList = make("ul", "kept");
  const { scroll, table } = tableBlock(say("kept_table"));
  view.keptTable = table;
  view.keptScroll = scroll;
  scroll.hidden = true;
  block.append(make("h2", "", say("kept_title")), make("p", "", say("kept_lead", { count: page.most_kept })));
  block.append(form, view.keptList, scroll, waysBlock(model, view));
  return block;
}

export function showKept(model, view) {
  const choices = model.get("choices");
  const at = /** @type {HTMLElement} */ (document.activeElement);
  const had = view.keptList.contains(at) ? at.dataset.does : "";
  view.keptList.replaceChildren(
    ...choices.names.map((name, place) => keptItem(model, view, { name, place, ticked: choices.ticked[place] })),
  );
  if (had) {
    const again = view.keptList.querySelector(`[data-does="${had}"]`);
    (again || document.querySelector("#choices input")).focus();
  }
  fillTable(view.keptTable, choices);
  setHidden(view.keptScroll, !choices.names.length);
}

function keptItem(model, view, { name, place, ticked }) {
  const item = make("li");
  const box = make("input");
  Object.assign(box, { type: "text", value: name, maxLength: model.get("page").most_letters });
  box.setAttribute("aria-label", say("kept_box", { place: place + 1 }));
  box.addEventListener("change", () => request(model, view, { kind: "rename", place, name: box.value }));
  const again = button(say("kept_use"), () => ask(model, view, ticked));
  again.setAttribute("aria-label", say("kept_use_named", { name }));
  const remove = button(say("kept_remove"), () => request(model, view, { kind: "remove", place }));
  remove.setAttribute("aria-label", say("kept_remove_named", { name }));
  [box, again, remove].forEach((element, what) => { element.dataset.does = `${place}-${what}`; });
  item.append(box, " ", again, " ", remove);
  return item;
}

function waysBlock(model, view) {
  const ways = make("div", "ways");
  const copy = async () => {
    const link = view.link();
    try {
      await navigator.clipboard.writeText(link);
      view.tell(say("copied"));
    } catch {
      window.prompt(say("copy_by_hand"), link);
    }
  };
  ways.append(
    button(say("clear"), () => ask(model, view, [])),
    button(say("copy_link"), copy),
    button(say("print"), () => window.print()),
  );
  return ways;
}

export function filesBlock(model, view) {
  const ways = make("div", "ways");
  if (model.get("page").makes_report) {
    view.report = button("", () => { if (!model.get("reporting")) request(model, view, { kind: "report" }); });
  }
  const download = (format) => request(model, view, { kind: "download", format });
  ways.append(
    button(say("save_json"), () => download("json")),
    button(say("save_csv"), () => download("csv")),
    ...(view.report ? [view.report] : []),
    openBox(model, view),
  );
  return ways;
}

// While a report is made its button says so, and keeps the place of the keyboard.
export function showReporting(model, view) {
  if (!view.report) return;
  const making = Boolean(model.get("reporting"));
  view.report.textContent = say(making ? "making_report" : "make_report");
  view.report.setAttribute("aria-disabled", String(making));
}

// A file is looked at for its size before anything of it is sent.
function openBox(model, view) {
  const page = model.get("page");
  const label = make("label", "open", `${say("open_file")} `);
  const input = make("input");
  Object.assign(input, { type: "file", accept: ".json,application/json" });
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (!file) return;
    if (file.size > page.most_bytes) view.tell(page.too_large, true);
    else request(model, view, { kind: "open", text: await file.text() });
    input.value = "";
  });
  label.appendChild(input);
  return label;
}

export function saveFile(message, buffers) {
  const link = make("a");
  link.href = URL.createObjectURL(new Blob(buffers && buffers.length ? buffers : [message.text], { type: message.type }));
  link.download = message.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}
