// What a visitor does with a choice: keep it beside others, carry it in a link or a file. Stands after parts.js.

const LINK_MARK = "~";

// Whatever is asked of Python is answered within a time, or the visitor is told and shown a way back.
function request(model, view, message) {
  view.line.expect();
  model.send(message);
}

function ask(model, view, ticked) {
  if (ticked.join() === model.get("ticked").join()) return;
  view.line.expect();
  model.set("ticked", ticked);
  model.save_changes();
}

function linkOf(ticked, choices, units) {
  const address = new URL(window.location.href);
  address.hash = "";
  ["tick", "keep", "units", "token"].forEach((name) => address.searchParams.delete(name));
  if (ticked.length) address.searchParams.set("tick", ticked.join("."));
  (choices.names || []).forEach((name, place) => {
    address.searchParams.append("keep", `${name}${LINK_MARK}${choices.ticked[place].join(".")}`);
  });
  if (units !== "US") address.searchParams.set("units", units);
  return address;
}

function fromLink(known) {
  const asked = new URL(window.location.href).searchParams;
  const kept = asked.getAll("keep").map((text) => {
    const mark = text.lastIndexOf(LINK_MARK);
    return { name: text.slice(0, Math.max(mark, 0)), ticked: text.slice(mark + 1).split(".") };
  });
  const ticked = (asked.get("tick") || "").split(".").filter((key) => known.has(key));
  return { ticked, kept, units: asked.get("units") || "" };
}

function button(text, act) {
  const made = make("button", "", text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

function choicesBlock(model, view) {
  const page = model.get("page");
  const block = make("section", "choices");
  block.id = "choices";
  const name = make("input");
  Object.assign(name, { type: "text", maxLength: page.most_letters, placeholder: "attic first" });
  const label = make("label", "", "Name of this choice ");
  label.appendChild(name);
  const keep = button("Keep this choice", () => {
    request(model, view, { kind: "keep", name: name.value });
    name.value = "";
  });
  const form = make("div", "ways");
  form.append(label, keep);
  view.keptList = make("ul", "kept");
  const { scroll, table } = tableBlock("Kept choices side by side");
  view.keptTable = table;
  view.keptScroll = scroll;
  view.keptScroll.hidden = true;
  const told = `Up to ${page.most_kept} choices can be kept on this page and compared. A link or a file carries them; nothing is stored here.`;
  block.append(make("h2", "", "Your choices side by side"), make("p", "", told));
  block.append(form, view.keptList, view.keptScroll, waysBlock(model, view));
  return block;
}

function showChoices(model, view) {
  const choices = model.get("choices");
  const had = view.keptList.contains(document.activeElement) ? document.activeElement.dataset.does : "";
  view.keptList.replaceChildren(
    ...choices.names.map((name, place) => keptItem(model, view, { name, place, ticked: choices.ticked[place] })),
  );
  if (had) {
    const again = view.keptList.querySelector(`[data-does="${had}"]`);
    (again || document.querySelector("#choices input")).focus();
  }
  fillTable(view.keptTable, choices);
  view.keptScroll.hidden = !choices.names.length;
  showAddress(model, view);
}

function keptItem(model, view, { name, place, ticked }) {
  const item = make("li");
  const box = make("input");
  Object.assign(box, { type: "text", value: name, maxLength: model.get("page").most_letters });
  box.setAttribute("aria-label", `Name of kept choice ${place + 1}`);
  box.addEventListener("change", () => request(model, view, { kind: "rename", place, name: box.value }));
  const again = button("Tick this", () => ask(model, view, ticked));
  again.setAttribute("aria-label", `Tick this: ${name}`);
  const remove = button("Remove", () => request(model, view, { kind: "remove", place }));
  remove.setAttribute("aria-label", `Remove: ${name}`);
  [box, again, remove].forEach((element, what) => { element.dataset.does = `${place}-${what}`; });
  item.append(box, " ", again, " ", remove);
  return item;
}

function waysBlock(model, view) {
  const ways = make("div", "ways");
  const copy = async () => {
    const link = linkOf(model.get("now").ticked, model.get("choices"), model.get("units")).href;
    try {
      await navigator.clipboard.writeText(link);
      tell(view, "The link is copied.");
    } catch {
      window.prompt("Copy this link:", link);
    }
  };
  const download = (format) => request(model, view, { kind: "download", format });
  ways.append(
    button("Untick everything", () => ask(model, view, [])),
    button("Copy a link to this choice", copy),
    button("Download the choice (JSON)", () => download("json")),
    button("Download the numbers (CSV)", () => download("csv")),
    openBox(model, view),
    button("Print", () => window.print()),
  );
  return ways;
}

// A file is looked at for its size before anything of it is sent.
function openBox(model, view) {
  const page = model.get("page");
  const label = make("label", "open", "Open a saved choice ");
  const input = make("input");
  Object.assign(input, { type: "file", accept: ".json,application/json" });
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (!file) return;
    if (file.size > page.most_bytes) tell(view, page.too_large, true);
    else request(model, view, { kind: "open", text: await file.text() });
    input.value = "";
  });
  label.appendChild(input);
  return label;
}

function saveFile(message) {
  const link = make("a");
  link.href = URL.createObjectURL(new Blob([message.text], { type: message.type }));
  link.download = message.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

function tell(view, text, problem) {
  setHidden(view.problem, !problem);
  if (problem) setText(view.problem, text);
  else setText(view.said, text);
  setHidden(view.said, Boolean(problem) || !text);
}

// Writing it takes longer than the numbers, so it waits until nobody ticks.
const ADDRESS_AFTER = 200;

function showAddress(model, view) {
  if (view.following) return;
  clearTimeout(view.address);
  const write = () => {
    const link = linkOf(model.get("now").ticked, model.get("choices"), model.get("units"));
    window.history.replaceState(null, "", link);
  };
  // the first one takes the token out, and that cannot wait
  if (!view.address) write();
  view.address = setTimeout(write, ADDRESS_AFTER);
}
