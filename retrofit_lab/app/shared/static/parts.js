// What every page is made of: elements with text, the chart, the table beside it. Python puts this text in
// front of a page's own script, so that all pages draw with the same code.

import { barsBlock, showBars } from "./bars.js";

const NARROW = 420;
/** What the chart library and its promise are kept at. */
const shelf = /** @type {any} */ (globalThis);

export function make(tag, className, text) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  return element;
}

// The text that stands there is changed, not replaced: the browser then looks at its place alone.
export function setText(element, text) {
  const inside = element.firstChild;
  if (inside && inside === element.lastChild && inside.nodeType === Node.TEXT_NODE) {
    if (inside.data !== text) inside.data = text;
  } else if (element.textContent !== text) element.textContent = text;
}

export function setHidden(element, hidden) {
  if (element.hidden !== hidden) element.hidden = hidden;
}

// Fills a place anew where what it stands for has changed; most ticks change little of a page.
export function whenChanged(place, content, children) {
  const shown = JSON.stringify(content);
  if (place.shown === shown) return;
  place.shown = shown;
  place.replaceChildren(...children());
}

// One item a text; the items that are there are used again.
export function fillItems(list, texts) {
  while (list.children.length > texts.length) list.lastChild.remove();
  while (list.children.length < texts.length) list.appendChild(make("li"));
  texts.forEach((text, place) => setText(list.children[place], text));
}

// The chart library comes with the first chart: from the page's server where it has it, else from the kernel.
export function chartLibrary(model) {
  if (shelf.Plotly) return Promise.resolve(shelf.Plotly);
  if (!shelf.retrofitLabCharts) shelf.retrofitLabCharts = new Promise((resolve) => loadCharts(model, resolve));
  return shelf.retrofitLabCharts;
}

export function loadCharts(model, resolve) {
  const place = /** @type {HTMLLinkElement | null} */ (document.getElementById("chart-library"));
  if (!place) {
    chartsFromKernel(model, resolve);
    return;
  }
  const script = make("script");
  script.src = place.href;
  script.addEventListener("load", () => resolve(shelf.Plotly));
  script.addEventListener("error", () => chartsFromKernel(model, resolve));
  document.head.appendChild(script);
}

export function chartsFromKernel(model, resolve) {
  model.on("msg:custom", (message) => {
    if (message.kind !== "library" || shelf.Plotly) return;
    const script = make("script");
    script.textContent = message.text;
    document.head.appendChild(script);
    resolve(shelf.Plotly);
  });
  model.send({ kind: "library" });
}

// Draws as wide as there is room, and again when that changes: a page that opens late, a phone that is turned.
export function drawChart(model, place, chart) {
  place.chart = chart;
  chartLibrary(model).then((library) => {
    drawAsWide(library, place);
    if (place.watch) return;
    place.watch = new ResizeObserver(() => {
      if (Math.floor(place.clientWidth) !== place.drawnWidth) drawAsWide(library, place);
    });
    place.watch.observe(place);
  });
}

// How often a picture was drawn, for whoever waits until it is.
export function countDrawn(picture) {
  picture.dataset.drawn = String(Number(picture.dataset.drawn || 0) + 1);
}

// The page's own ink and no ground, so that a chart fits a light and a dark page.
export function inkOf(place, layout) {
  const color = getComputedStyle(place).color;
  const clear = "rgba(0,0,0,0)";
  return { font: { ...layout.font, color }, paper_bgcolor: clear, plot_bgcolor: clear };
}

export function drawAsWide(library, place) {
  const width = Math.floor(place.clientWidth);
  if (!width) return;
  place.drawnWidth = width;
  const { figure, sentence } = place.chart;
  const layout = { ...figure.layout, ...inkOf(place, figure.layout), width };
  if (width < NARROW && layout.xaxis && layout.xaxis.nticks) layout.xaxis = { ...layout.xaxis, nticks: 3 };
  library.react(place, figure.data, layout, { displayModeBar: false, staticPlot: true, plotlyServerURL: "" });
  place.setAttribute("aria-label", sentence);
  countDrawn(place);
}

export function fillTable(table, chart) {
  whenChanged(table, [chart.columns, chart.rows], () => {
    const head = make("thead");
    head.append(lineOf(chart.columns, "th"));
    head.querySelectorAll("th").forEach((cell) => { cell.scope = "col"; });
    const body = make("tbody");
    body.append(...chart.rows.map((row) => lineOf(row, "td")));
    return [head, body];
  });
}

export function lineOf(texts, tag) {
  const line = make("tr");
  line.append(...texts.map((text) => make(tag, "", text)));
  return line;
}

export function tableBlock(label) {
  const scroll = make("div", "scroll");
  scroll.tabIndex = 0;
  scroll.setAttribute("role", "region");
  scroll.setAttribute("aria-label", label);
  const table = make("table");
  scroll.appendChild(table);
  return { scroll, table };
}

export function foldedBlock(title, inside) {
  const details = make("details");
  details.append(make("summary", "", title), inside);
  return details;
}

// A table that is filled only while it is open.
export function foldedTable(title, label) {
  const { scroll, table } = tableBlock(label);
  const details = foldedBlock(title, scroll);
  let content = null;
  const fill = () => { if (details.open && content) fillTable(table, content); };
  details.addEventListener("toggle", fill);
  return { details, show: (now) => { content = now; fill(); } };
}

// Enter in a box, taken here, since JupyterLab keeps the browser from doing anything about it.
export function whenEntered(input, entered) {
  input.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || input.tagName === "SELECT") return;
    event.preventDefault();
    entered();
  });
}

// Number boxes and choices with their labels.
export function numberBoxes(fields, changed) {
  const form = make("div", "form");
  const inputs = new Map();
  for (const field of fields) {
    const label = make("label", "", `${field.label} `);
    const input = field.choices.length ? make("select") : make("input");
    field.choices.forEach((text, place) => {
      const option = make("option", "", text);
      option.value = String(place);
      input.appendChild(option);
    });
    if (!field.choices.length) {
      Object.assign(input, { type: "number", min: field.low, max: field.high, step: field.step });
    }
    input.value = String(field.value);
    input.addEventListener("change", () => changed());
    whenEntered(input, () => changed());
    label.appendChild(input);
    form.appendChild(label);
    inputs.set(field.name, input);
  }
  return { form, inputs };
}

export function readBoxes(inputs) {
  const values = {};
  inputs.forEach((input, name) => { values[name] = Number(input.value); });
  return values;
}

// An answer as plain data: sentences, a list under a heading, a chart, a table.
export function showAnswer(model, place, content) {
  place.replaceChildren(...content.sentences.map((sentence) => make("p", "", sentence)));
  if (content.items && content.items.length) {
    const list = make("ul");
    list.append(...content.items.map((item) => make("li", "", item)));
    place.append(make("h3", "", content.heading), list);
  }
  if (content.chart && content.chart.bars) {
    const chart = barsBlock();
    showBars(chart, content.chart);
    place.appendChild(chart.block);
  } else if (content.chart) {
    const chart = make("div", "chart");
    chart.setAttribute("role", "img");
    chart.setAttribute("aria-label", content.chart.sentence);
    if (content.chart.unit) place.appendChild(make("p", "chart-unit", content.chart.unit));
    place.appendChild(chart);
    drawChart(model, chart, content.chart);
  }
  if (content.table) {
    const near = place.closest(".step, .panel");
    const { scroll, table } = tableBlock(near ? `${near.firstElementChild.textContent}: table` : "Table");
    fillTable(table, content.table);
    place.appendChild(content.table.fold ? foldedBlock(content.table.fold, scroll) : scroll);
  }
}
