// The plan as steps in their order, what to settle first, and the safety notes; a page of paper when it is printed.
import { lineOf, make, setText, whenChanged } from "./parts.js";
import { cautionBlock } from "./list.js";
import { lower, say } from "./say.js";

export function planBlock(page) {
  const block = make("section", "plan");
  block.id = "plan";
  const lead = make("p", "plan-lead");
  const body = make("div", "plan-body");
  const cautions = make("div", "cautions");
  cautions.id = "cautions";
  cautions.tabIndex = -1;
  block.append(make("h2", "", say("plan_title")));
  if (page.stop.items) block.appendChild(stopBlock(page.stop));
  block.append(lead, body, cautions);
  return { block, lead, body, cautions };
}

/** What stops or holds the work in this house; no pick changes it. */
export function stopBlock(stop) {
  const block = make("section", stop.stopped ? "stop stopped" : "stop");
  block.append(make("h3", "", stop.title), make("p", "stop-lead", stop.lead));
  for (const item of stop.items) {
    const details = make("details");
    details.open = item.open;
    details.append(make("summary", "", item.title), make("p", "", item.text), make("p", "", item.waits));
    block.appendChild(details);
  }
  return block;
}

/**
 * @param {any} view
 * @param {any} plan
 * @param {any} texts heads of the table and titles
 */
export function showPlan(view, plan, texts) {
  setText(view.lead, plan.lead);
  whenChanged(view.body, [plan.phases, plan.total, plan.pace, plan.needed, plan.own], () => (plan.phases.length ? bodyOf(plan, texts) : []));
  whenChanged(view.cautions, [plan.ticked.length > 0, plan.cautions, placesOf(plan)], () => (plan.ticked.length ? notes(plan, texts) : []));
}

function bodyOf(plan, texts) {
  const made = [stepsTable(plan, texts), make("p", "total", plan.total), make("p", "pace", plan.pace)];
  for (const name of ["needed", "own"]) {
    if (!plan[name].length) continue;
    const list = make("ul", "plain");
    list.append(...plan[name].map((text) => make("li", "", text)));
    made.push(make("h3", "", texts[name]), list);
  }
  return made;
}

function stepsTable(plan, texts) {
  const scroll = make("div", "scroll");
  scroll.tabIndex = 0;
  scroll.setAttribute("role", "region");
  scroll.setAttribute("aria-label", texts.steps);
  const table = make("table", "steps");
  const head = make("thead");
  head.append(lineOf(texts.columns, "th"));
  head.querySelectorAll("th").forEach((cell) => { cell.scope = "col"; });
  table.appendChild(head);
  plan.phases.forEach((phase) => table.appendChild(phaseBody(phase, texts.columns)));
  scroll.appendChild(table);
  return scroll;
}

function phaseBody(phase, columns) {
  const body = make("tbody");
  const name = make("tr", "phase");
  const cell = make("th", "", phase.title);
  cell.colSpan = columns.length;
  cell.scope = "rowgroup";
  name.appendChild(cell);
  body.appendChild(name);
  for (const step of phase.rows) {
    const line = lineOf([`${step.place}. ${step.title}`, step.who, step.cost, step.saves, step.year, step.before.join("; ")], "td");
    line.lastChild.appendChild(make("span", "step-notes", noted(step)));
    [...line.children].forEach((td, place) => { td.dataset.head = columns[place]; });
    line.dataset.key = step.key;
    if (step.waits) line.classList.add("waits");
    body.appendChild(line);
  }
  return body;
}

const noted = (step) => (step.before.length && step.notes.length ? "; " : "") + step.notes.map(lower).join("; ");

/** Where in the plan each safety note belongs. On paper a note stands once, with the numbers of its steps. */
function placesOf(plan) {
  const places = {};
  for (const step of plan.phases.flatMap((phase) => phase.rows)) {
    for (const title of step.notes) places[title] = [...(places[title] || []), step.place];
  }
  return places;
}

function noteBlock(caution, places) {
  const block = cautionBlock(caution);
  const at = places[caution.title] || [];
  if (at.length) block.firstChild.after(make("span", "at-steps", `: ${say(at.length > 1 ? "at_steps" : "at_step", { places: at.join(", ") })}`));
  return block;
}

// Safety notes under a heading for each tier, the gravest first; they come sorted.
function notes(plan, texts) {
  const { cautions } = plan;
  const places = placesOf(plan);
  if (!cautions.length) return [make("h3", "", texts.cautions), make("p", "", texts.cautions_none)];
  const tiers = [...new Set(cautions.map((caution) => caution.tier))];
  return [
    make("h3", "", texts.cautions),
    ...tiers.map((tier) => {
      const mine = cautions.filter((caution) => caution.tier === tier);
      const details = make("details", "tier-notes");
      details.open = tier === tiers[0];
      details.append(make("summary", "", `${tier} (${mine.length})`), ...mine.map((caution) => noteBlock(caution, places)));
      return details;
    }),
  ];
}
