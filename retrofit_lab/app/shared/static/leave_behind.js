// The report's page that stays alive: looks up sets of measures that were worked out before, and adds prices.
// Runs without a network and without Python. Everything a person typed is set as text.
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("try-data").textContent);
  const root = document.getElementById("try-page");
  const measures = data.measures;
  const count = measures.length;
  const KEPT = "#0072B2", LOST = "#E69F00", WON = "#009E73";

  // ---- words ----
  const say = (section, key, values = {}) =>
    data.texts[section][key].replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));
  const roundEven = (x) => {
    const near = Math.round(x);
    return Math.abs(x - Math.trunc(x)) === 0.5 ? 2 * Math.round(x / 2) : near;
  };
  const grouped = (number) => Math.abs(number).toFixed(0).replace(/\B(?=(\d{3})+$)/g, ",");
  function dollars(amount) {
    const size = Math.abs(amount);
    const step = size < 100 ? 1 : size < 10000 ? 10 : 100;
    const rounded = roundEven(amount / step) * step;
    return (rounded < 0 ? "-$" : "$") + grouped(rounded);
  }
  function years(span) {
    if (!isFinite(span)) return say("form", "never");
    if (span < 0.5) return say("form", "within_months");
    if (span < 1.5) return say("form", "about_a_year");
    if (span > 60) return say("form", "very_many_years");
    return say("form", "about_years", { count: roundEven(span).toFixed(0) });
  }
  const saving = (amount) =>
    amount < -0.5
      ? say("try", "costs_more", { amount: dollars(-amount) })
      : say("try", "saves", { amount: dollars(Math.max(amount, 0)) });
  const listed = (places) => places.map((i) => say("form", "quoted", { name: measures[i].title })).join(", ");
  function priceRange([low, likely, high]) {
    if (high <= 0 || roundEven(low) === roundEven(high)) return dollars(likely);
    return say("form", "within", { likely: dollars(likely), low: dollars(low), high: dollars(high) });
  }

  // ---- numbers ----
  function bytes(text) {
    const raw = atob(text);
    const array = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i += 1) array[i] = raw.charCodeAt(i);
    return array;
  }
  const sum = (list) => list.reduce((total, x) => total + x, 0);
  function unpacked(text, width, read) {
    const view = new DataView(bytes(text).buffer);
    return Float64Array.from({ length: view.byteLength / width }, (_, i) => view[read](i * width, true));
  }
  const fuels = data.fuels.map((fuel) => ({ ...fuel, saved: unpacked(fuel.saved, 4, "getInt32") }));
  const air = unpacked(data.air, 2, "getUint16");
  const below = bytes(data.below);
  const over = (field) => {
    const total = new Float64Array(2 ** count);
    for (const fuel of fuels) {
      const factor = fuel.step * fuel[field];
      for (let set = 0; set < total.length; set += 1) total[set] += fuel.saved[set] * factor;
    }
    return total;
  };
  const saved = over("price"), worth = over("worth"), carbon = over("co2");

  // Mean of what each ticked measure adds over all orders of the ticked ones; exact.
  function fairShares(places) {
    const n = places.length;
    const full = new Int32Array(2 ** n);
    const size = new Uint8Array(2 ** n);
    for (let set = 1; set < full.length; set += 1) {
      const low = 31 - Math.clz32(set & -set);
      full[set] = full[set & (set - 1)] | (1 << places[low]);
      size[set] = size[set & (set - 1)] + 1;
    }
    const weight = [1 / Math.max(n, 1)];
    for (let s = 1; s < n; s += 1) weight.push((weight[s - 1] * s) / (n - s));
    return places.map((_, i) => {
      let share = 0;
      for (let set = 0; set < full.length; set += 1) {
        if (!((set >> i) & 1)) share += weight[size[set]] * (saved[full[set | (1 << i)]] - saved[full[set]]);
      }
      return share;
    });
  }

  // ---- state ----
  let ticked = new Set(data.chosen);
  const bids = new Map();
  let problem = "";
  const number = () => sum([...ticked].map((i) => 2 ** i));
  const costOf = (i) => (bids.has(i) ? [bids.get(i), bids.get(i), bids.get(i)] : measures[i].cost);
  const pricesOf = (set, which) => measures.map((_, i) => (Math.floor(set / 2 ** i) % 2 ? costOf(i)[which] : 0));

  // Prices in which a trade that comes once for several measures is paid once; a bid has no visit left to share.
  function withSharedVisits(prices) {
    return data.visits.reduce((left, { measures: named, setups }) => {
      const there = named.map((i, place) => (left[i] > 0 && !bids.has(i) ? setups[place] : 0));
      const all = sum(there);
      const again = all > 0 ? (all - Math.max(...there)) / all : 0;
      return left.map((price, i) => (named.includes(i) ? price - there[named.indexOf(i)] * again : price));
    }, prices);
  }
  // Prices after rebates, entry by entry, each on what those before it left.
  function leftToPay(prices) {
    return data.rebates.reduce((left, { amount, percent, cap, measures: named }) => {
      const eligible = left.map((price, i) => (named.length === 0 || named.includes(i) ? price : 0));
      const price = sum(eligible);
      const given = Math.min((percent / 100) * price + amount, cap === null ? Infinity : cap, price);
      const share = price > 0 ? given / price : 0;
      return left.map((old, i) => Math.max(old - eligible[i] * share, 0));
    }, withSharedVisits(prices));
  }
  const firstCost = (set, which) => sum(leftToPay(pricesOf(set, which)));
  const costAdded = (set, i) =>
    data.rebates.length + data.visits.length === 0
      ? costOf(i)
      : [0, 1, 2].map((which) => {
          const without = ticked.has(i) ? set - 2 ** i : set;
          const added = firstCost(without + 2 ** i, which) - firstCost(without, which);
          return Math.round(added * 1e6) / 1e6;
        });
  const ordered = () => measures.map((_, i) => i).filter((i) => ticked.has(i));

  // Held by a hazard, or done after something ticked that is.
  const waits = (i) => Boolean(measures[i].held) || measures[i].before.some((other) => ticked.has(other) && waits(other));

  function tick(i) {
    const dropped = measures[i].rivals.filter((other) => ticked.has(other));
    dropped.forEach((other) => untick(other));
    const missing = measures[i].needs.filter((other) => !ticked.has(other));
    ticked.add(i);
    missing.forEach((other) => tick(other));
    if (dropped.length) problem = say("try", "dropped", { dropped: listed(dropped), kept: listed([i]) });
    if (missing.length) problem = say("try", "needs", { key: listed([i]), names: listed(missing) });
  }
  function untick(i) {
    ticked.delete(i);
    measures.forEach((measure, other) => {
      if (ticked.has(other) && measure.needs.includes(i)) untick(other);
    });
  }

  // ---- page ----
  const make = (tag, className, text) => {
    const element = document.createElement(tag);
    if (className) element.className = className;
    if (text !== undefined) element.textContent = text;
    return element;
  };
  const live = make("p", "live");
  live.setAttribute("aria-live", "polite");
  const facts = make("ul", "facts");
  const trouble = make("p", "problem");
  trouble.setAttribute("role", "status");
  const list = make("div", "rows");
  const chartSentence = make("p", "chart-sentence");
  const chart = make("div", "chart");
  chart.setAttribute("role", "img");
  const table = make("table");
  const cautions = make("div", "cautions");
  const gas = make("p", "co2");

  function button(key, action) {
    const element = make("button", "", say("try", key));
    element.type = "button";
    element.addEventListener("click", action);
    return element;
  }

  const rows = measures.map((measure, i) => {
    const row = make("div", "row");
    row.dataset.key = measure.key;
    const label = make("label", "tick");
    const box = make("input");
    box.type = "checkbox";
    box.id = `try-${measure.key}`;
    box.setAttribute("aria-describedby", `try-now-${measure.key}`);
    label.append(box, make("span", "title", measure.title));
    const numbers = make("div", "numbers");
    numbers.id = `try-now-${measure.key}`;
    const alone = make("span", "alone"), now = make("span", "now"), cost = make("span", "cost");
    numbers.append(alone, now, cost, make("span", "who", measure.who));
    const price = make("label", "price");
    const input = make("input");
    input.type = "text";
    input.inputMode = "decimal";
    input.setAttribute("aria-label", say("try", "bid", { title: measure.title }));
    price.append(make("span", "", say("try", "bid_short")), input);
    const held = make("p", "held");
    row.append(label, numbers, held, price);
    box.addEventListener("change", () => {
      problem = "";
      if (box.checked) tick(i);
      else untick(i);
      show();
    });
    input.addEventListener("input", () => {
      const text = input.value.trim().replace(/^\$/, "").replace(/,/g, "");
      const typed = Number(text);
      const fine = text !== "" && isFinite(typed) && typed >= 0 && typed <= 1e6;
      input.setAttribute("aria-invalid", String(text !== "" && !fine));
      if (fine) bids.set(i, typed);
      else bids.delete(i);
      show();
    });
    list.append(row);
    return { row, box, alone, now, cost, held };
  });

  function showRows(set) {
    rows.forEach(({ row, box, alone, now, cost, held }, i) => {
      const bit = 2 ** i;
      const on = ticked.has(i);
      box.checked = on;
      row.classList.toggle("ticked", on);
      alone.textContent = `${say("try", "by_itself")}: ${saving(saved[bit])}`;
      const rivals = measures[i].rivals.filter((other) => ticked.has(other));
      const added = on ? saved[set] - saved[set - bit] : saved[set + bit] - saved[set];
      now.textContent =
        !on && rivals.length
          ? say("try", "not_with", { names: listed(rivals) })
          : `${say("try", on ? "in_set" : "on_top")}: ${saving(added)}`;
      cost.textContent = `${say("try", "cost")}: ${priceRange(costAdded(set, i))}`;
      held.textContent = measures[i].held || (on && waits(i) ? say("try", "waits_too") : "");
    });
  }

  function economics(set) {
    const total = [0, 1, 2].map((which) => firstCost(set, which));
    const prices = pricesOf(set, 1);
    const left = leftToPay(prices);
    const bought = sum(measures.map(({ first, later }, i) => left[i] * first + prices[i] * later));
    const needless = data.anyway.filter(({ measures: own }) => own.some((i) => prices[i] > 0));
    const present = bought - sum(needless.map((purchase) => purchase.worth));
    const extra = total[1] - sum(needless.map((purchase) => purchase.price));
    const paid = extra <= 0 ? (saved[set] >= 0 ? 0 : Infinity) : saved[set] > 0 ? extra / saved[set] : Infinity;
    return { total, paid, sir: present > 0 ? worth[set] / present : Infinity, after: data.before - saved[set] };
  }

  function fact(name, value, more) {
    const item = make("li");
    item.append(make("span", "name", name), " ", make("span", "value", value), " ", make("span", "more", more));
    return item;
  }

  function showFacts(set) {
    const { total, paid, sir, after } = economics(set);
    const some = ticked.size > 0;
    const back = isFinite(sir)
      ? say("summary", "paid_more", { sir: sir.toFixed(1), years: data.years })
      : say("summary", "paid_free");
    const range = say("summary", "cost_more", { low: dollars(total[0]), high: dollars(total[2]) });
    facts.replaceChildren(
      fact(say("summary", "now"), dollars(data.before), say("summary", "now_more")),
      fact(say("try", "with_ticked"), dollars(after), saving(saved[set])),
      fact(say("summary", "cost"), dollars(total[1]), some ? range : ""),
      fact(say("summary", "paid"), some ? years(paid) : "\u2013", some ? back : ""),
    );
    const sentence = some
      ? say("try", "live", {
          count: ticked.size, saving: saving(saved[set]), cost: dollars(total[1]), payback: years(paid),
        })
      : say("try", "live_none");
    const waiting = ordered().filter(waits).length;
    const spoken = waiting ? `${sentence} ${say("try", "live_waits", { count: waiting })}` : sentence;
    if (live.textContent !== spoken) live.textContent = spoken;
    gas.textContent = say("try", "co2", { amount: grouped(carbon[set]) });
  }

  function chartWords(places, set) {
    if (!places.length) return say("try", "chart_none");
    const alone = sum(places.map((i) => saved[2 ** i]));
    const lost = alone - saved[set];
    const values = { alone: dollars(alone), saved: dollars(saved[set]), lost: dollars(lost) };
    return say("try", Math.abs(lost) < 1 ? "chart_even" : lost < 0 ? "chart_helped" : "chart_lost", values);
  }

  function showTable(lines) {
    const head = make("tr");
    ["measure", "alone", "share"].forEach((key) => {
      const cell = make("th", "", say("try", key));
      cell.scope = "col";
      head.append(cell);
    });
    const body = lines.map(([label, alone, share]) => {
      const row = make("tr");
      const name = make("th", "", label);
      name.scope = "row";
      row.append(name, make("td", "num", dollars(alone)), make("td", "num", dollars(share)));
      return row;
    });
    const top = make("thead"), rest = make("tbody");
    top.append(head);
    rest.append(...body);
    table.replaceChildren(top, rest);
  }

  function wrapped(label) {
    const lines = [""];
    for (const word of label.split(" ")) {
      if (lines[lines.length - 1] && lines[lines.length - 1].length + word.length >= 26) lines.push("");
      lines[lines.length - 1] = `${lines[lines.length - 1]} ${word}`.trim();
    }
    return lines.map((line) => line.replace(/&/g, "&amp;").replace(/</g, "&lt;")).join("<br>");
  }

  function draw(lines) {
    if (!window.Plotly) return;
    const labels = lines.map(([label]) => wrapped(label)).reverse();
    const part = (name, color, shape, value) => ({
      type: "bar", orientation: "h", name: say("try", name), y: labels,
      x: lines.map(value).reverse(), hoverinfo: "x+name",
      marker: { color: color, pattern: { shape, bgcolor: color, fgcolor: "#1c1c1c", size: 6 } },
    });
    const parts = [
      part("kept", KEPT, "", ([, alone, share]) => Math.min(alone, share)),
      part("lost", LOST, "/", ([, alone, share]) => Math.max(alone - share, 0)),
      part("won", WON, ".", ([, alone, share]) => Math.max(share - alone, 0)),
    ];
    const layout = {
      barmode: "relative", height: 140 + 38 * Math.max(lines.length, 2),
      margin: { l: 10, r: 20, t: 10, b: 90 }, font: { size: 13, color: "#1c1c1c" },
      legend: { orientation: "h", yref: "container", y: 0, yanchor: "bottom", x: 0 },
      xaxis: { title: { text: say("try", "axis") }, automargin: true, zeroline: true, fixedrange: true },
      yaxis: { automargin: true, fixedrange: true },
    };
    const config = { displayModeBar: false, displaylogo: false, plotlyServerURL: "", responsive: true };
    window.Plotly.react(chart, parts, layout, config).then(() => {
      chart.dataset.drawn = String(ticked.size);
    });
  }

  function showChart(set) {
    const places = ordered();
    const shares = fairShares(places);
    const lines = places.map((i, at) => [measures[i].title, saved[2 ** i], shares[at]]);
    if (lines.length) lines.push([say("try", "all"), sum(lines.map(([, alone]) => alone)), saved[set]]);
    const words = chartWords(places, set);
    chartSentence.textContent = words;
    chart.setAttribute("aria-label", words);
    chart.hidden = lines.length === 0;
    showTable(lines);
    if (lines.length) draw(lines);
  }

  function showCautions(set) {
    const wanted = new Set(ordered().flatMap((i) => measures[i].cautions));
    const little = (below[set >> 3] >> (set & 7)) & 1;
    const flow = say("try", "air", { air: `${grouped(air[set])} ${data.flow_unit}`, minimum: data.minimum });
    const items = data.cautions
      .filter((item, place) => wanted.has(place) && (!item.below || little))
      .map((item) => (item.below ? { ...item, text: `${flow} ${item.text}` } : item));
    cautions.replaceChildren(
      ...items.map((item) => {
        const box = make("div", "caution");
        box.append(make("strong", "", item.title), make("br"), item.text);
        return box;
      }),
    );
    cautionsTitle.hidden = items.length === 0;
  }

  function show() {
    const set = number();
    root.classList.toggle("as-recommended", ordered().join() === data.chosen.join());
    showRows(set);
    showFacts(set);
    showCautions(set);
    showChart(set);
    trouble.textContent = problem;
  }

  function choose(places) {
    problem = "";
    ticked = new Set();
    places.forEach(tick);
    problem = "";
    show();
  }

  const ways = make("div", "ways");
  ways.append(
    button("reset", () => choose(data.chosen)),
    button("clear", () => choose([])),
    button("print", () => window.print()),
  );
  const more = make("details");
  const scroll = make("div", "scroll");
  scroll.tabIndex = 0;
  scroll.setAttribute("role", "region");
  scroll.setAttribute("aria-label", say("try", "table"));
  scroll.append(table);
  more.append(make("summary", "", say("try", "table")), scroll);
  const cautionsTitle = make("h3", "cautions-title", say("try", "cautions"));
  root.append(
    live, facts, trouble, ways, list, make("h3", "", say("try", "chart_title")), chartSentence, chart, more, gas,
    cautionsTitle, cautions,
  );
  root.retrofitLab = { choose };
  show();
  window.addEventListener("load", show);
})();
