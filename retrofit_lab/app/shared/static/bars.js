// Draws bars from finished places across the chart. The elements are kept, so that a tick changes little.
// Stands after parts.js, before whatever draws bars.

import { countDrawn, make, setHidden, setText, whenChanged } from "./parts.js";

export function barsBlock() {
  const block = make("div", "chart bars");
  block.setAttribute("role", "img");
  const legend = make("p", "legend");
  block.appendChild(legend);
  return { block, legend, lines: [] };
}

export function showBars(chart, { bars, sentence }) {
  chart.block.setAttribute("aria-label", sentence);
  setHidden(chart.block, !bars.rows.length);
  while (chart.lines.length > bars.rows.length) chart.lines.pop().line.remove();
  while (chart.lines.length < bars.rows.length) chart.lines.push(barLine(chart));
  bars.rows.forEach((row, place) => fillBar(chart.lines[place], row, bars.zero));
  whenChanged(chart.legend, bars.legend, () => bars.legend.map(([name, text]) => legendItem(`bar-${name}`, text)));
  countDrawn(chart.block);
}

export function barLine(chart) {
  const line = make("div", "bar");
  const label = make("span", "bar-label");
  const track = make("span", "track");
  const parts = {};
  for (const name of ["kept", "lost", "won"]) {
    parts[name] = make("span", `stretch bar-${name}`);
    track.appendChild(parts[name]);
  }
  const zero = make("span", "zero");
  track.appendChild(zero);
  const amount = make("span", "bar-amount");
  const beside = make("span", "beside");
  beside.append(track, amount);
  line.append(label, beside);
  chart.block.insertBefore(line, chart.legend);
  return { line, label, amount, parts, zero };
}

export function fillBar(bar, row, zero) {
  setText(bar.label, row.label);
  setText(bar.amount, row.amount);
  bar.zero.style.left = `${zero}%`;
  for (const [name, part] of Object.entries(bar.parts)) {
    const [left, width] = row.parts[name];
    part.style.left = `${left}%`;
    part.style.width = `${width}%`;
  }
}

export function legendItem(name, text) {
  const sample = make("span", `sample ${name}`);
  sample.setAttribute("aria-hidden", "true");
  const item = make("span", "item");
  item.append(sample, make("span", "", text));
  return item;
}
