// Draws the kitchen-table page from finished sentences and figures that Python sends; computes nothing.
// Stands after parts.js in one script. Everything a person typed arrives as text and is set as text.

const ANSWER_WITHIN = 15000;

function chartBlock() {
  const block = make("section");
  block.appendChild(make("h2", "", "How they add up"));
  const place = make("div", "chart");
  place.setAttribute("role", "img");
  const sentence = make("p", "chart-sentence");
  const details = make("details");
  details.appendChild(make("summary", "", "The same as a table"));
  const { scroll, table } = tableBlock("Table of savings");
  details.appendChild(scroll);
  block.append(sentence, place, details);
  return { block, place, sentence, table };
}

function cautionBlock(caution) {
  const block = make("div", "caution");
  block.append(make("strong", "", caution.title), make("p", "", caution.text));
  if (caution.belongs) block.appendChild(make("p", "", caution.belongs));
  block.appendChild(make("p", "", caution.source));
  return block;
}

function rowBlock(row, toggle) {
  const block = make("div", "row");
  block.dataset.key = row.key;
  const label = make("label");
  const box = make("input");
  box.type = "checkbox";
  box.id = `tick-${row.key}`;
  box.addEventListener("change", () => toggle(row.key, box.checked));
  const title = make("span");
  title.append(make("span", "title", row.title), make("span", "", ` ${row.doer}`));
  label.append(box, title);
  const numbers = make("div", "numbers");
  numbers.id = `numbers-${row.key}`;
  box.setAttribute("aria-describedby", numbers.id);
  const parts = {};
  for (const name of ["alone", "now", "cost", "payback"]) {
    parts[name] = make("span", name);
    numbers.appendChild(parts[name]);
  }
  const details = make("details");
  const summary = make("summary", "", row.summary);
  details.append(summary, make("p", "", row.why));
  row.cautions.forEach((caution) => details.appendChild(cautionBlock(caution)));
  block.append(label, numbers);
  if (row.warning) block.appendChild(make("p", "warning", row.warning));
  block.appendChild(details);
  return { block, box, parts };
}

function factBlock() {
  const block = make("li");
  const parts = {};
  for (const name of ["name", "value", "more"]) {
    parts[name] = make("span", name);
    block.appendChild(parts[name]);
  }
  return { block, parts };
}

// One question: its form and its answer, drawn from plain data. Open ones are answered again after a tick.
function panelBlock(model, view, panel) {
  const block = make("details", "panel");
  block.dataset.panel = panel.key;
  block.appendChild(make("summary", "", panel.title));
  const { form, inputs } = numberBoxes(panel.fields, () => send());
  const answer = make("div", "answer");
  answer.setAttribute("aria-live", "polite");
  block.append(form, answer);
  const send = () => model.send({ kind: "ask", panel: panel.key, values: readBoxes(inputs) });
  block.addEventListener("toggle", () => {
    if (block.open) send();
    else model.send({ kind: "close", panel: panel.key });
  });
  return { block, answer, inputs };
}

function showPanels(model, view) {
  const panels = model.get("panels");
  for (const [key, content] of Object.entries(panels)) {
    const panel = view.panels.get(key);
    const text = JSON.stringify(content);
    if (!panel || panel.shown === text) continue;
    panel.shown = text;
    panel.inputs.forEach((input, name) => {
      if (document.activeElement !== input) input.value = String(content.values[name]);
    });
    showAnswer(model, panel.answer, content);
    if (content.tick) {
      const button = make("button", "", "Tick these");
      button.addEventListener("click", () => ask(model, view, content.tick));
      panel.answer.appendChild(button);
    }
  }
}

function linkOf(ticked) {
  const address = new URL(window.location.href);
  if (ticked.length) address.searchParams.set("tick", ticked.join("."));
  else address.searchParams.delete("tick");
  return address;
}

function fromLink(known) {
  const text = new URL(window.location.href).searchParams.get("tick") || "";
  return text.split(".").filter((key) => known.has(key));
}

function buildPage(model, root) {
  const page = model.get("page");
  const view = { rows: new Map(), facts: [] };
  root.append(make("h1", "", page.title), make("p", "", page.note));
  view.problem = make("div", "problem");
  view.problem.setAttribute("role", "alert");
  view.problem.hidden = true;
  view.facts = [0, 1, 2, 3].map(factBlock);
  const facts = make("ul", "facts");
  view.facts.forEach((fact) => facts.appendChild(fact.block));
  view.live = make("p", "live");
  view.live.setAttribute("role", "status");
  view.live.setAttribute("aria-live", "polite");
  const top = make("div", "top");
  top.append(facts, view.live);
  root.append(view.problem, top);

  const columns = make("div", "columns");
  const list = make("section");
  list.id = "measures";
  list.append(make("h2", "", "What could be done"), make("p", "", page.help));
  const toggle = (key, on) => {
    const ticked = model.get("ticked").filter((other) => other !== key);
    if (on) ticked.push(key);
    ask(model, view, ticked);
  };
  for (const group of page.groups) {
    const set = make("fieldset");
    set.appendChild(make("legend", "", group.part));
    for (const row of group.rows) {
      const made = rowBlock(row, toggle);
      view.rows.set(row.key, made);
      set.appendChild(made.block);
    }
    list.appendChild(set);
  }
  const side = make("div", "side");
  view.chart = chartBlock();
  view.overlaps = make("ul", "overlaps");
  view.cautions = make("section", "cautions");
  side.append(view.chart.block, view.overlaps);
  const questions = make("section", "questions");
  questions.appendChild(make("h2", "", "More questions"));
  view.panels = new Map();
  for (const panel of page.panels) {
    const made = panelBlock(model, view, panel);
    view.panels.set(panel.key, made);
    questions.appendChild(made.block);
  }
  columns.append(list, side);
  root.append(columns, questions, view.cautions, waysBlock(model, view));
  root.appendChild(make("h2", "", "What these numbers are"));
  page.about.forEach((text) => root.appendChild(make("p", "", text)));
  return view;
}

function waysBlock(model, view) {
  const ways = make("div", "ways");
  const clear = make("button", "", "Untick everything");
  clear.addEventListener("click", () => ask(model, view, []));
  const copy = make("button", "", "Copy a link to this choice");
  copy.addEventListener("click", async () => {
    const link = linkOf(model.get("ticked")).href;
    try {
      await navigator.clipboard.writeText(link);
      setText(view.live, "The link is copied.");
    } catch {
      window.prompt("Copy this link:", link);
    }
  });
  const print = make("button", "", "Print");
  print.addEventListener("click", () => window.print());
  ways.append(clear, copy, print);
  return ways;
}

function ask(model, view, ticked) {
  model.set("ticked", ticked);
  model.save_changes();
  clearTimeout(view.waiting);
  view.waiting = setTimeout(() => lost(view), ANSWER_WITHIN);
}

function lost(view) {
  view.problem.hidden = false;
  view.problem.textContent = "The page has lost its connection. Your choice is kept in the address. ";
  const again = make("button", "", "Load it again");
  again.addEventListener("click", () => window.location.reload());
  view.problem.appendChild(again);
}

function showNow(model, view) {
  const now = model.get("now");
  clearTimeout(view.waiting);
  view.problem.hidden = !now.problem;
  setText(view.problem, now.problem || "");
  if (!now.facts) return;
  const ticked = new Set(now.ticked);
  now.facts.forEach((fact, place) => {
    for (const name of ["name", "value", "more"]) setText(view.facts[place].parts[name], fact[name]);
  });
  setText(view.live, now.live);
  for (const [key, texts] of Object.entries(now.rows)) {
    const row = view.rows.get(key);
    row.box.checked = ticked.has(key);
    row.block.classList.toggle("ticked", ticked.has(key));
    for (const name of Object.keys(row.parts)) setText(row.parts[name], texts[name]);
  }
  setText(view.chart.sentence, now.chart.sentence);
  drawChart(model, view.chart.place, now.chart);
  fillTable(view.chart.table, now.chart);
  view.overlaps.replaceChildren(...now.overlaps.map((text) => make("li", "", text)));
  view.cautions.replaceChildren();
  if (now.cautions.length) {
    const all = make("div", "all");
    all.append(...now.cautions.map(cautionBlock));
    view.cautions.append(make("h2", "", "Before anyone starts"), all);
  }
  window.history.replaceState(null, "", linkOf(now.ticked));
}

function render({ model, el }) {
  const root = make("div", "kt");
  el.appendChild(root);
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  const page = model.get("page");
  if (page.problem) {
    root.appendChild(make("h1", "", "This house cannot be shown yet"));
    const problem = make("div", "problem", page.problem);
    problem.setAttribute("role", "alert");
    root.appendChild(problem);
    return;
  }
  const view = buildPage(model, root);
  model.on("change:now", () => showNow(model, view));
  model.on("change:panels", () => showPanels(model, view));
  new ResizeObserver(() => drawChart(model, view.chart.place, model.get("now").chart)).observe(el);
  const wanted = fromLink(new Set(view.rows.keys()));
  showNow(model, view);
  if (wanted.length) ask(model, view, wanted);
}

export default { render };
