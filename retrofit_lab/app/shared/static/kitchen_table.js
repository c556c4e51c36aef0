// Draws the kitchen-table page from finished sentences and figures that Python sends; computes nothing.
// Stands after parts.js, connection.js, section.js and choices.js in one script. Everything a person typed arrives as text and is set as text.

const FRAMES_TO_SETTLE = 8;

function chartBlock() {
  const block = make("section", "adding");
  const bars = barsBlock();
  const sentence = make("p", "chart-sentence");
  const table = foldedTable("The same as a table", "Table of savings");
  const overlaps = make("ul", "overlaps");
  block.append(sentence, bars.block, table.details, overlaps);
  return { block, bars, sentence, table, overlaps };
}

function cautionBlock(caution) {
  const block = make("div", "caution");
  block.append(make("strong", "", caution.title), make("p", "", caution.text));
  if (caution.belongs) block.appendChild(make("p", "", caution.belongs));
  block.appendChild(make("p", "", caution.source));
  return block;
}

function rowBlock(row, columns, toggle) {
  const block = make("div", "row");
  block.dataset.key = row.key;
  const label = make("label");
  const box = make("input");
  box.type = "checkbox";
  box.id = `tick-${row.key}`;
  box.addEventListener("change", () => toggle(row.key, box.checked));
  const title = make("span");
  title.append(make("span", "title", row.title), make("span", "doer", ` ${row.doer}`));
  label.append(box, title);
  const numbers = make("div", "numbers");
  numbers.id = `numbers-${row.key}`;
  box.setAttribute("aria-describedby", `${numbers.id} held-${row.key} blocked-${row.key}`);
  const texts = {};
  for (const [name, heading] of Object.entries(columns)) {
    const cell = make("span", `number ${name}`);
    texts[name] = make("span", "amount");
    cell.append(make("span", "heading", `${heading}: `), texts[name]);
    numbers.appendChild(cell);
  }
  const details = make("details");
  const summary = make("summary", "", row.summary);
  summary.appendChild(make("span", "heading", `: ${row.title}`));
  details.append(summary, make("p", "", row.why));
  row.cautions.forEach((caution) => details.appendChild(cautionBlock(caution)));
  const held = make("p", "held", row.held);
  held.id = `held-${row.key}`;
  const blocked = make("p", "blocked");
  blocked.id = `blocked-${row.key}`;
  block.append(label, numbers, blocked);
  if (row.held) block.appendChild(held);
  if (row.warning) block.appendChild(make("p", "warning", row.warning));
  block.appendChild(details);
  return { block, box, numbers: texts, blocked, parts: row.parts, byOwner: row.by_owner };
}

function factBlock() {
  const block = make("li");
  const parts = {};
  for (const name of ["name", "value", "more", "sure"]) {
    parts[name] = make("span", name);
    block.appendChild(parts[name]);
  }
  const link = (target) => {
    const anchor = make("a", "value");
    anchor.href = target;
    parts.value.replaceWith(anchor);
    parts.value = anchor;
  };
  return { block, parts, link };
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
      panel.answer.appendChild(button(content.tick_label || "Tick these", () => ask(model, view, content.tick)));
    }
  }
}

// Two views beside the list, one at a time: a tab each, moved between with the arrow keys.
function viewTabs(views) {
  const bar = make("div", "tabs");
  bar.setAttribute("role", "tablist");
  bar.setAttribute("aria-label", "Pictures of the choice");
  const tabs = views.map(({ key, title, block }) => {
    const tab = button(title, () => open(key));
    tab.setAttribute("role", "tab");
    tab.id = `tab-${key}`;
    block.id = `view-${key}`;
    tab.setAttribute("aria-controls", block.id);
    block.setAttribute("role", "tabpanel");
    block.setAttribute("aria-labelledby", tab.id);
    bar.appendChild(tab);
    return tab;
  });
  const open = (key) => views.forEach((view, place) => {
    const on = view.key === key;
    tabs[place].setAttribute("aria-selected", String(on));
    tabs[place].tabIndex = on ? 0 : -1;
    view.block.hidden = !on;
    if (on) view.draw();
  });
  bar.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    const place = (tabs.indexOf(document.activeElement) + step + tabs.length) % tabs.length;
    open(views[place].key);
    tabs[place].focus();
  });
  open(views[0].key);
  return bar;
}

function unitsBox(model, view) {
  const label = make("label", "units", "Units ");
  const select = make("select");
  for (const [key, text] of model.get("page").units) {
    const option = make("option", "", text);
    option.value = key;
    select.appendChild(option);
  }
  select.addEventListener("change", () => setUnits(model, view, select.value));
  label.appendChild(select);
  view.units = select;
  return label;
}

function setUnits(model, view, units) {
  view.line.expect();
  model.set("units", units);
  model.save_changes();
}

// The list stands in the order of the house, or in one of those that Python sends; ticking moves nothing.
function orderBox(view, page) {
  const form = make("div", "order");
  const order = make("select");
  ["Place in the house", ...page.orders.map((one) => one.title)].forEach((text) => order.appendChild(make("option", "", text)));
  const label = make("label", "", "Show first ");
  label.appendChild(order);
  const own = make("input");
  own.type = "checkbox";
  own.id = "own-work";
  const ownLabel = make("label", "own");
  ownLabel.append(own, make("span", "", " Only what I can do myself"));
  const show = () => {
    fillList(view, page, order.selectedIndex - 1);
    view.rows.forEach((row) => { row.block.hidden = own.checked && !row.byOwner; });
    view.list.querySelectorAll("fieldset").forEach((set) => { set.hidden = !set.querySelector(".row:not([hidden])"); });
  };
  order.addEventListener("change", show);
  own.addEventListener("change", show);
  form.append(label, ownLabel);
  return form;
}

function fillList(view, page, order) {
  const groups = order < 0
    ? page.groups.map((group) => ({ title: group.part, keys: group.rows.map((row) => row.key) }))
    : [page.orders[order]];
  view.list.querySelectorAll("fieldset").forEach((set) => set.remove());
  for (const { title, keys } of groups) {
    const set = make("fieldset");
    set.append(make("legend", "", title), ...keys.map((key) => view.rows.get(key).block));
    view.list.appendChild(set);
  }
}

function listBlock(model, view, page) {
  view.list = make("section");
  view.list.id = "measures";
  const toggle = (key, on) => {
    const ticked = model.get("ticked").filter((other) => other !== key);
    if (on) ticked.push(key);
    ask(model, view, ticked);
  };
  for (const row of page.groups.flatMap((group) => group.rows)) {
    view.rows.set(row.key, rowBlock(row, page.columns, toggle));
  }
  const head = view.listHead = make("div", "list-head");
  const names = make("div", "column-names");
  names.setAttribute("aria-hidden", "true");
  Object.values(page.columns).forEach((text) => names.appendChild(make("span", "", text)));
  head.append(chosenBlock(view), names);
  view.list.append(make("h2", "", "What could be done"), make("p", "", page.help), orderBox(view, page), head);
  fillList(view, page, -1);
  return view.list;
}

function sideBlock(model, view, page) {
  const side = view.side = make("div", "side");
  view.section = sectionBlock(page, (key) => choosePart(view, model.get("drawing"), key));
  view.chart = chartBlock();
  view.pictures = [
    { key: "heat", title: "Where the heat leaves", block: view.section.block, draw: () => showSection(view, model.get("drawing")) },
    { key: "chart", title: "How they add up", block: view.chart.block, draw: () => showChart(view.chart, model.get("now")) },
  ];
  const tabs = viewTabs(view.pictures);
  // on paper both views stand, so the one behind is brought up to date first
  window.matchMedia("print").addEventListener("change", () => view.pictures.forEach((picture) => picture.draw()));
  side.append(tabs, view.section.block, view.chart.block);
  return side;
}

function topBlock(model, view) {
  const way = () => linkOf(model.get("ticked"), model.get("choices"), model.get("units"));
  view.line = connection({ goBack: () => window.location.assign(way()), kept: "Your choice is kept." });
  view.facts = [0, 1, 2, 3, 4].map(factBlock);
  view.facts[4].link("#cautions");
  const facts = make("ul", "facts");
  view.facts.forEach((fact) => facts.appendChild(fact.block));
  view.live = make("p", "live");
  view.live.setAttribute("role", "status");
  view.live.setAttribute("aria-live", "polite");
  view.said = make("p", "said");
  view.said.setAttribute("role", "status");
  view.said.hidden = true;
  view.problem = make("div", "problem");
  view.problem.setAttribute("role", "alert");
  view.problem.hidden = true;
  const top = make("div", "top");
  top.append(facts, view.live, view.said, view.problem, view.line.block);
  new ResizeObserver(() => standBelow(view, top.offsetHeight)).observe(top);
  return top;
}

// What sticks below the facts is told how tall they are, one by one: a property that all inherit would cost
// a new look at the style of every line of the list.
function standBelow(view, height) {
  view.height = height;
  view.side.style.top = view.listHead.style.top = `${height}px`;
  view.side.style.maxHeight = `calc(100vh - ${height}px - 0.4rem)`;
}

function questionsBlock(model, view, page) {
  const questions = make("section", "questions");
  questions.appendChild(make("h2", "", "More questions"));
  for (const panel of page.panels) {
    const made = panelBlock(model, view, panel);
    view.panels.set(panel.key, made);
    questions.appendChild(made.block);
  }
  return questions;
}

// What stops or holds the work in this house; it stands above everything and no tick changes it.
function stopBlock(stop) {
  const block = make("section", "stop");
  block.append(make("h2", "", stop.title), make("p", "lead", stop.lead));
  for (const item of stop.items) {
    const details = make("details");
    details.open = item.open;
    details.append(make("summary", "", item.title), make("p", "", item.text), make("p", "", item.waits));
    block.appendChild(details);
  }
  return block;
}

// Cautions under a heading for each tier, the gravest first; they come sorted.
function tierBlocks(cautions) {
  const tiers = [...new Set(cautions.map((caution) => caution.tier))];
  return tiers.flatMap((tier) => [
    make("h3", "", tier), ...cautions.filter((caution) => caution.tier === tier).map(cautionBlock),
  ]);
}

// What the keyboard reaches out of view is laid out only then, and what is above it may push it away again.
function keepFocusInView(root) {
  root.addEventListener("focusin", ({ target }) => {
    let frames = FRAMES_TO_SETTLE;
    const follow = () => {
      if (document.activeElement !== target || !target.matches(":focus-visible")) return;
      target.scrollIntoView({ block: "nearest" });
      frames -= 1;
      if (frames > 0) requestAnimationFrame(follow);
    };
    requestAnimationFrame(follow);
  });
}

function buildPage(model, root) {
  const page = model.get("page");
  const view = { root, rows: new Map(), panels: new Map(), chosen: "" };
  const head = make("div", "head");
  const bills = (page.bills || []).map((text) => make("p", "note", text));
  head.append(make("h1", "", page.title), unitsBox(model, view), make("p", "note", page.note), ...bills);
  const columns = make("div", "columns");
  columns.append(sideBlock(model, view, page), listBlock(model, view, page));
  view.cautions = make("div", "all");
  const cautions = make("section", "cautions");
  cautions.id = "cautions";
  cautions.append(make("h2", "", "Before anyone starts"), view.cautions);
  if (page.stop.items) head.appendChild(stopBlock(page.stop));
  root.append(head, topBlock(model, view), columns, cautions);
  keepFocusInView(root);
  root.append(choicesBlock(model, view), questionsBlock(model, view, page));
  root.appendChild(make("h2", "", "What these numbers are"));
  page.about.forEach((text) => root.appendChild(make("p", "", text)));
  return view;
}

function showChart(chart, now) {
  setText(chart.sentence, now.chart.sentence);
  showBars(chart.bars, now.chart);
  chart.table.show(now.chart);
  fillItems(chart.overlaps, now.overlaps);
}

// A picture behind the other is drawn when its tab is opened.
function showPicture(view, key) {
  const picture = view.pictures.find((one) => one.key === key);
  if (!picture.block.hidden) picture.draw();
}

function showNow(model, view) {
  const now = model.get("now");
  tell(view, now.problem, Boolean(now.problem));
  const ticked = new Set(now.ticked);
  now.facts.forEach((fact, place) => {
    for (const name of ["name", "value", "more"]) setText(view.facts[place].parts[name], fact[name]);
  });
  setText(view.live, now.live);
  for (const [key, texts] of Object.entries(now.rows)) {
    const row = view.rows.get(key);
    row.box.checked = ticked.has(key);
    row.block.classList.toggle("ticked", ticked.has(key));
    for (const name of Object.keys(row.numbers)) setText(row.numbers[name], texts[name]);
    setText(row.blocked, texts.blocked);
  }
  showPicture(view, "chart");
  whenChanged(view.cautions, now.cautions, () => now.cautions.length
    ? tierBlocks(now.cautions)
    : [make("p", "", now.facts[4].more)]);
  showSure(model, view);
  showAddress(model, view);
}

// Ranges come a moment after the numbers; those of the set before do not stand beside the new ones.
function showSure(model, view) {
  const { ticked = [], saving = "", worth = "" } = model.get("sure");
  const fits = ticked.join() === model.get("now").ticked.join();
  setText(view.facts[1].parts.sure, fits ? saving : "");
  setText(view.facts[3].parts.sure, fits ? worth : "");
}

function followChanges(model, view) {
  const on = (name, show) => model.on(`change:${name}`, () => {
    view.line.came();
    show();
  });
  on("now", () => {
    view.following = false;
    showNow(model, view);
  });
  on("drawing", () => {
    showPicture(view, "heat");
    if (view.chosen) setText(view.chosenText, model.get("drawing").parts[view.chosen].chosen);
  });
  on("panels", () => showPanels(model, view));
  on("sure", () => showSure(model, view));
  on("choices", () => showChoices(model, view));
  on("units", () => { view.units.value = model.get("units"); });
  on("said", () => tell(view, model.get("said").text, model.get("said").problem));
  model.on("msg:custom", (message) => {
    if (message.kind !== "file") return;
    view.line.came();
    saveFile(message);
  });
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
  const wanted = fromLink(new Set(view.rows.keys()));
  view.following = wanted.ticked.length > 0 || wanted.kept.length > 0;
  followChanges(model, view);
  showNow(model, view);
  showChoices(model, view);
  if (wanted.kept.length) request(model, view, { kind: "link", kept: wanted.kept });
  if (wanted.units && wanted.units !== model.get("units")) setUnits(model, view, wanted.units);
  if (wanted.ticked.length) ask(model, view, wanted.ticked);
  root.dataset.ready = "yes";
}

export default { render };
