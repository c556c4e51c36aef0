// What every page is made of: elements with text, the chart, the table beside it. Python puts this text in
// front of a page's own script, so that all pages draw with the same code.

function make(tag, className, text) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  return element;
}

function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

// The chart library is on the page already, or comes once from the kernel.
function chartLibrary(model) {
  if (window.Plotly) return Promise.resolve(window.Plotly);
  if (!window.retrofitLabCharts) {
    window.retrofitLabCharts = new Promise((resolve) => {
      const onPage = document.querySelector('script[src*="plotly-basic"]');
      if (onPage) {
        onPage.addEventListener("load", () => resolve(window.Plotly));
        if (window.Plotly) resolve(window.Plotly);
        return;
      }
      model.on("msg:custom", (message) => {
        if (message.kind !== "library" || window.Plotly) return;
        const script = document.createElement("script");
        script.textContent = message.text;
        document.head.appendChild(script);
        resolve(window.Plotly);
      });
      model.send({ kind: "library" });
    });
  }
  return window.retrofitLabCharts;
}

function drawChart(model, place, chart) {
  chartLibrary(model).then((library) => {
    const options = { displayModeBar: false, staticPlot: true, plotlyServerURL: "" };
    const layout = { ...chart.figure.layout, width: Math.floor(place.clientWidth) };
    library.react(place, chart.figure.data, layout, options);
    place.setAttribute("aria-label", chart.sentence);
    place.dataset.drawn = String(Number(place.dataset.drawn || 0) + 1);
  });
}

function fillTable(table, chart) {
  table.replaceChildren();
  const head = table.createTHead().insertRow();
  for (const name of chart.columns) {
    const cell = make("th", "", name);
    cell.scope = "col";
    head.appendChild(cell);
  }
  const body = table.createTBody();
  for (const row of chart.rows) {
    const line = body.insertRow();
    row.forEach((text) => line.appendChild(make("td", "", text)));
  }
}
