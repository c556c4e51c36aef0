// Promised and real on one scale of dollars: bars from finished places, whose overlap folds back after a pick.
import { countDrawn, fillItems, foldedBlock, foldedTable, make, setHidden, setText } from "./parts.js";
import { say } from "./say.js";

const FOLD = { duration: 400, easing: "ease-in-out" };
const LABELED_FROM = 24;

/** @param {(key: string) => void} point called with the fix that is pointed at, or with nothing */
export function pictureBlock(point) {
  const block = make("section", "picture");
  const sentence = make("p", "picture-sentence");
  const bars = make("div", "promised-real");
  bars.setAttribute("role", "img");
  const promised = barRow(bars, "promised", say("promised"));
  const real = barRow(bars, "real", say("together"));
  const lost = stretch("overlap", "");
  real.track.appendChild(lost);
  const range = barRow(bars, "range", "");
  const span = stretch("span", "");
  range.track.appendChild(span);
  const axis = make("div", "axis");
  const ticks = make("div", "track");
  axis.append(make("span", "bar-name"), ticks);
  bars.appendChild(axis);
  const table = foldedTable(say("table"), say("answer_table", { title: say("picture_title") }));
  const less = make("ul", "plain");
  const why = foldedBlock(say("why_less"), less);
  why.classList.add("why-less");
  block.append(make("h2", "", say("picture_title")), sentence, bars, why, table.details);
  return { block, sentence, bars, promised, real, lost, range, span, ticks, table, less, point, parts: new Map() };
}

function barRow(bars, name, title) {
  const line = make("div", `bar-line ${name}`);
  const track = make("div", "track");
  const amount = make("span", "bar-end");
  track.appendChild(amount);
  const named = make("span", "bar-name", title);
  line.append(named, track);
  bars.appendChild(line);
  return { line, track, amount, name: named };
}

function stretch(name, key) {
  const made = make("span", `stretch ${name}`);
  if (key) made.dataset.key = key;
  made.appendChild(make("span", "inside"));
  return made;
}

function put(element, left, width) {
  element.style.left = `${left}%`;
  element.style.width = `${width}%`;
}

const frame = (left, width) => ({ left: `${left}%`, width: `${width}%` });

/**
 * @param {any} picture what `pictureBlock` made
 * @param {any} content places of this plan
 * @param {boolean} fold whether the overlap is shown folding back
 */
export function showPicture(picture, content, fold) {
  setText(picture.sentence, content.sentence);
  picture.bars.setAttribute("aria-label", content.sentence);
  setHidden(picture.bars, !content.promised.length);
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const shown = new Set(content.promised.map(([key]) => key));
  for (const [key, pair] of picture.parts) {
    if (shown.has(key)) continue;
    pair.forEach((element) => element.remove());
    picture.parts.delete(key);
  }
  content.promised.forEach(([key, left, width], place) => {
    const [, realLeft, realWidth] = content.real[place];
    const [first, second] = partOf(picture, key);
    put(first, left, width);
    put(second, realLeft, realWidth);
    label(first, content.titles[key], width);
    label(second, content.titles[key], realWidth);
    first.title = second.title = content.parts[key];
    if (fold && !still) second.animate([frame(left, width), frame(realLeft, realWidth)], FOLD);
  });
  showEnds(picture, content, fold && !still);
  picture.table.show({ columns: content.columns, rows: content.table });
  fillItems(picture.less, content.less);
  countDrawn(picture.bars);
}

function partOf(picture, key) {
  if (!picture.parts.has(key)) {
    const pair = [stretch("one", key), stretch("one", key)];
    pair.forEach((element) => {
      element.addEventListener("pointerenter", () => picture.point(key));
      element.addEventListener("pointerleave", () => picture.point(""));
    });
    picture.promised.track.appendChild(pair[0]);
    picture.real.track.appendChild(pair[1]);
    picture.parts.set(key, pair);
  }
  return picture.parts.get(key);
}

function label(element, title, width) {
  setText(element.firstChild, width >= LABELED_FROM ? title : "");
}

function showEnds(picture, content, fold) {
  const [promised, real] = content.ends;
  setText(picture.promised.amount, content.amounts[0]);
  setText(picture.real.amount, content.amounts[1]);
  picture.promised.amount.style.left = `${promised}%`;
  picture.real.amount.style.left = `${Math.max(promised, real)}%`;
  const from = Math.min(promised, real);
  const width = Math.abs(promised - real);
  picture.lost.classList.toggle("won", real > promised);
  put(picture.lost, from, width);
  label(picture.lost, real > promised ? say("help") : say("overlap"), width);
  if (fold) picture.lost.animate([frame(promised, 0), frame(from, width)], FOLD);
  while (picture.ticks.children.length > content.marks.length) picture.ticks.lastChild.remove();
  while (picture.ticks.children.length < content.marks.length) picture.ticks.appendChild(make("span", "mark"));
  content.marks.forEach(([text, left], place) => {
    setText(picture.ticks.children[place], text);
    picture.ticks.children[place].style.left = `${left}%`;
  });
}

/** The range comes a moment after the bars; that of the plan before does not stand beside new ones. */
export function showRange(picture, sure, fits) {
  setHidden(picture.range.line, !fits);
  if (!fits) return;
  const [low, high] = sure.places;
  put(picture.span, low, high - low);
  setText(picture.range.name, `${say("real_houses")}: ${sure.saves}`);
}

export function pointAtBars(picture, keys) {
  picture.parts.forEach((pair, key) => pair.forEach((one) => one.classList.toggle("pointed", keys.includes(key))));
}
