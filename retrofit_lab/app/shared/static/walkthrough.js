// Draws the walkthrough form from finished texts that Python sends, and sends back what was entered; computes nothing.
// Everything a person typed arrives as text and is set as text.

const ANSWER_WITHIN = 15000;
// Letters typed on these must not run the notebook's own shortcuts, which look at the focused element itself.
const TAKE_KEYS = new Set(["button", "input", "select", "summary", "h1", "h2"]);

function make(tag, className, text) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  if (TAKE_KEYS.has(tag)) element.setAttribute("data-lm-suppress-shortcuts", "true");
  return element;
}

function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

function button(text, act, className) {
  const made = make("button", className || "", text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

function list(texts, className) {
  const made = make("ul", className || "");
  texts.forEach((text) => made.appendChild(make("li", "", text)));
  return made;
}

function idOf(prefix, path) {
  return `wt-${prefix}-${path.replace(/[^A-Za-z0-9]+/g, "-")}`;
}

function labelled(text, control, id) {
  const label = make("label", "", text);
  label.htmlFor = id;
  control.id = id;
  return label;
}

function choice(options, value) {
  const select = make("select");
  for (const option of options) {
    const made = make("option", "", option.text);
    made.value = option.word;
    select.appendChild(made);
  }
  if (value) select.value = value;
  return select;
}

class Form {
  constructor(model, root) {
    this.model = model;
    this.root = root;
    this.fields = new Map();
    this.openness = new Map();
    this.shape = "";
    this.atDoor = false;
    this.focusNext = "";
  }

  ask(message) {
    this.model.send(message);
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => this.lost(), ANSWER_WITHIN);
  }

  lost() {
    this.say(
      "The form has lost its connection. Answers up to here are in the draft beside the house file: " +
        "run the cell again, and open the house.",
      true,
    );
  }

  say(text, wrong) {
    if (!this.saidLine) return;
    setText(this.saidLine, text);
    this.saidLine.classList.toggle("wrong", Boolean(wrong && text));
  }

  // ---- before a house is open ---------------------------------------------------------------------------

  buildDoor() {
    const door = this.model.get("door");
    this.shape = "door";
    this.root.replaceChildren();
    const title = make("h1", "", door.title);
    title.tabIndex = -1;
    this.root.append(title, this.newSaidLine());
    const columns = make("div", "door");
    columns.append(this.startBlock(door), this.openBlock(door));
    this.root.appendChild(columns);
    if (this.model.get("walk").stop) {
      this.root.appendChild(button("Back to the house that is open", () => this.leaveDoor()));
    }
  }

  leaveDoor() {
    this.atDoor = false;
    this.shape = "";
    this.show();
  }

  newSaidLine() {
    this.saidLine = make("p", "said");
    this.saidLine.setAttribute("role", "status");
    return this.saidLine;
  }

  startBlock(door) {
    const block = make("section", "start");
    block.append(make("h2", "", door.start), make("p", "", door.start_help));
    const controls = new Map();
    for (const question of door.questions) {
      const place = question.kind === "place" ? new PlaceBox(this.model, () => {}) : null;
      const typed = place ? place.input : make("input");
      const control = question.options.length ? choice(question.options, question.value) : typed;
      if (!question.options.length) control.value = question.value;
      controls.set(question.key, control);
      block.appendChild(this.questionRow(question, control, place ? place.element : control));
    }
    const file = make("input");
    block.appendChild(this.questionRow({ key: "file", label: door.file_name, hint: "" }, file));
    const begin = () => {
      const answers = {};
      for (const [key, control] of controls) answers[key] = control.value;
      this.atDoor = false;
      this.focusNext = "title";
      this.ask({ kind: "begin", answers, file: file.value });
    };
    block.appendChild(button("Set the house up", begin, "main"));
    block.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.tagName === "INPUT") begin();
    });
    return block;
  }

  questionRow(question, control, shown = control) {
    const row = make("div", "field");
    row.appendChild(labelled(question.label, control, idOf("question", question.key)));
    row.appendChild(shown);
    if (question.hint) {
      const hint = make("p", "hint", question.hint);
      hint.id = idOf("question-hint", question.key);
      control.setAttribute("aria-describedby", hint.id);
      row.appendChild(hint);
    }
    return row;
  }

  openBlock(door) {
    const block = make("section", "open");
    block.append(make("h2", "", door.open), make("p", "", door.files.length ? door.open_help : door.no_files));
    const open = (file) => {
      this.atDoor = false;
      this.focusNext = "title";
      this.ask({ kind: "open", file });
    };
    const files = make("ul", "files");
    for (const name of door.files) {
      const line = make("li");
      line.appendChild(button(name, () => open(name)));
      files.appendChild(line);
    }
    const other = make("input");
    const row = this.questionRow({ key: "other-file", label: "Another house file", hint: "" }, other);
    const ways = make("div", "ways");
    ways.appendChild(button("Open", () => open(other.value)));
    other.addEventListener("keydown", (event) => {
      if (event.key === "Enter") open(other.value);
    });
    block.append(files, row, ways);
    return block;
  }

  // ---- an open house ------------------------------------------------------------------------------------

  buildWalk(walk) {
    this.fields.clear();
    this.root.replaceChildren();
    this.root.append(this.topBlock(walk), this.newSaidLine());
    this.draftBox = make("div", "notice");
    this.problemBox = make("div", "problem");
    this.root.append(this.draftBox, this.problemBox);
    const columns = make("div", "columns");
    this.stopBlock = make("div", "stop");
    columns.append(this.routeBlock(walk), this.stopBlock);
    this.root.appendChild(columns);
    this.buildStop(walk.stop);
    this.oddBox = make("section", "odd");
    this.root.append(this.billsBlock(), this.oddBox);
  }

  topBlock(walk) {
    const top = make("div", "top");
    const names = make("div", "names");
    this.nameLine = make("h1");
    this.fileLine = make("p", "file");
    names.append(this.nameLine, this.fileLine);
    this.saveButton = button("Save", () => this.save(), "main");
    this.saveButton.title = "Ctrl+S";
    this.backButton = button("Take the last change back", () => this.ask({ kind: "back" }));
    const other = button("Another house", () => {
      this.atDoor = true;
      this.buildDoor();
      this.root.querySelector("h1").focus();
    });
    const ways = make("div", "ways");
    const report = button("Write the report", () => this.ask({ kind: "report" }));
    ways.append(this.saveButton, this.backButton, report, other);
    top.append(names, ways);
    return top;
  }

  // What the typed bills leave open, as a button for each way of reading them.
  offerChoices(choices) {
    if (!this.billChoices) return;
    this.billChoices.replaceChildren();
    this.billAnswers = choices.length ? this.billAnswers : {};
    for (const [key, choice, words] of choices) {
      const answer = () => {
        this.billAnswers = { ...this.billAnswers, [key]: choice };
        this.answerBills(this.billAnswers);
      };
      this.billChoices.appendChild(button(words, answer));
    }
  }

  // A grid of a year of bills; rows are checked and kept by Python.
  billsBlock() {
    this.billChoices = make("p", "choices");
    this.billAnswers = {};
    const columns = ["First day", "Last day", "Fuel", "Use", "Unit", "Dollars"];
    const block = make("details", "bills");
    block.append(
      make("summary", "", "Type the bills"),
      make("p", "", "One row for each bill. Write dates as 2025-01-31 and fuels such as electricity or natural gas."),
    );
    const scroll = make("div", "scroll");
    const table = make("table");
    const head = table.createTHead().insertRow();
    columns.forEach((name) => {
      const cell = make("th", "", name);
      cell.scope = "col";
      head.appendChild(cell);
    });
    const body = table.createTBody();
    const addRows = (count) => {
      for (let i = 0; i < count; i += 1) {
        const line = body.insertRow();
        columns.forEach((name) => {
          const input = make("input");
          input.setAttribute("aria-label", `${name}, bill ${body.rows.length}`);
          line.insertCell().appendChild(input);
        });
      }
    };
    addRows(12);
    scroll.appendChild(table);
    const rows = () =>
      [...body.rows].map((line) => [...line.querySelectorAll("input")].map((input) => input.value));
    block.append(
      scroll,
      button("Twelve more rows", () => addRows(12)),
      button("Keep these bills", () => this.ask({ kind: "bills", rows: rows(), answers: {} })),
      this.billChoices,
    );
    this.answerBills = (answers) => this.ask({ kind: "bills", rows: rows(), answers });
    return block;
  }

  save() {
    const active = document.activeElement;
    if (active && this.root.contains(active) && active.tagName === "INPUT") this.commit(active);
    this.ask({ kind: "save" });
  }

  routeBlock(walk) {
    const block = make("nav", "route");
    block.setAttribute("aria-label", "Stops of the walk");
    const jump = make("select", "jump");
    const label = labelled("Go to", jump, "wt-jump");
    label.className = "jump";
    jump.addEventListener("change", () => this.go(jump.value));
    block.append(label, jump);
    this.routeLines = new Map();
    let part = "";
    let steps;
    for (const entry of walk.route) {
      if (entry.part !== part) {
        part = entry.part;
        block.appendChild(make("p", "part", part));
        steps = make("ol");
        block.appendChild(steps);
      }
      const line = make("li");
      const go = button("", () => this.go(entry.key));
      const progress = make("span", "count");
      go.append(make("span", "title", entry.title), progress);
      line.appendChild(go);
      steps.appendChild(line);
      const option = make("option");
      option.value = entry.key;
      jump.appendChild(option);
      this.routeLines.set(entry.key, { go, progress, option });
    }
    this.jump = jump;
    return block;
  }

  go(key) {
    this.focusNext = "title";
    this.ask({ kind: "go", stop: key });
  }

  buildStop(stop) {
    const block = this.stopBlock;
    const title = make("h2", "", stop.title);
    title.id = "wt-title";
    title.tabIndex = -1;
    block.append(title, this.adviceBlock(stop));
    if (stop.records.length) block.appendChild(make("p", "hint", stop.rules));
    for (const record of stop.records) block.appendChild(this.recordBlock(record));
    if (stop.adds.length) block.appendChild(this.addBlock(stop));
    if (stop.observations.length) block.appendChild(this.observationBlock(stop));
    this.cautionBox = make("div", "cautions");
    this.measureBox = make("section", "measures");
    this.photoBox = make("section", "photos");
    block.append(this.cautionBox, this.measureBox, this.photoBox);
    this.buildPhotos(stop);
    const ways = make("div", "ways");
    if (stop.before) ways.appendChild(button("Stop before", () => this.go(stop.before)));
    if (stop.after) ways.appendChild(button("Next stop", () => this.go(stop.after), "main"));
    block.appendChild(ways);
  }

  adviceBlock(stop) {
    const block = make("div", "advice");
    block.appendChild(make("p", "why", stop.why));
    if (stop.care) block.appendChild(make("p", "care", stop.care));
    const details = this.keptDetails("advice", "What to look for and how to measure", true);
    const here = make("div", "findings");
    if (stop.look.length) here.append(this.tips("Look for", stop.look), this.tips("Measure", stop.measure));
    const other = make("div", "findings");
    for (const finding of stop.findings) (finding.here ? here : other).appendChild(this.findingBlock(finding));
    details.appendChild(here);
    block.appendChild(details);
    if (other.childElementCount) {
      const more = this.keptDetails("elsewhere", `Not in this house so far (${other.childElementCount})`);
      more.appendChild(other);
      block.appendChild(more);
    }
    return block;
  }

  tips(title, texts) {
    const block = make("div");
    block.append(make("h3", "", title), list(texts));
    return block;
  }

  findingBlock(finding) {
    const block = make("div");
    block.appendChild(make("h3", "", finding.title));
    for (const [name, text] of [["Look", finding.look], ["Measure", finding.how], ["Why", finding.why]]) {
      const line = make("p");
      line.append(make("b", "", `${name}: `), make("span", "", text));
      block.appendChild(line);
    }
    return block;
  }

  recordBlock(record) {
    const block = make("fieldset");
    block.dataset.path = record.path;
    block.appendChild(make("legend", "", record.title));
    record.fields.forEach((field) => block.appendChild(this.fieldRow(field)));
    if (record.more.length) {
      const details = this.keptDetails(`more-${record.path}`, `More (${record.more.length})`);
      record.more.forEach((field) => details.appendChild(this.fieldRow(field)));
      block.appendChild(details);
    }
    const ways = make("div", "ways small");
    const right = button("I have looked: the estimates are right", () =>
      this.ask({ kind: "confirm", path: record.path }),
    );
    right.dataset.confirms = record.path;
    ways.appendChild(right);
    if (record.removable) {
      const remove = button("Remove", () => {
        this.focusNext = "title";
        this.ask({ kind: "remove", path: record.path });
      });
      remove.setAttribute("aria-label", `Remove ${record.title}`);
      ways.appendChild(remove);
    }
    block.appendChild(ways);
    return block;
  }

  // What was opened or closed stays so, also at the next stop.
  keptDetails(key, summary, open) {
    const details = make("details");
    details.dataset.key = key;
    details.open = this.openness.has(key) ? this.openness.get(key) : Boolean(open);
    details.addEventListener("toggle", () => this.openness.set(key, details.open));
    details.appendChild(make("summary", "", summary));
    return details;
  }

  fieldRow(field) {
    const row = make("div", "field");
    const place = field.kind === "place" ? new PlaceBox(this.model, (input) => this.takePlace(input)) : null;
    const typed = place ? place.input : make("input");
    const control = field.kind === "choice" ? choice(field.options, field.value) : typed;
    const id = idOf("field", field.path);
    control.dataset.path = field.path;
    control.dataset.kind = field.kind;
    if (field.kind === "number") control.inputMode = "text";
    control.autocomplete = "off";
    const hint = make("p", "hint", field.hint);
    const state = make("p", "state");
    hint.id = `${id}-hint`;
    state.id = `${id}-state`;
    control.setAttribute("aria-describedby", `${state.id} ${hint.id}`);
    const box = make("div", "box");
    const unit = make("span", "unit", field.unit);
    box.append(place ? place.element : control, unit);
    row.append(labelled(field.label, control, id), box, state, hint);
    control.addEventListener("input", () => { control.dataset.dirty = "yes"; });
    control.addEventListener("change", () => this.commit(control));
    control.addEventListener("keydown", (event) => this.onFieldKey(event, control));
    this.fields.set(field.path, { control, row, state, unit, hint });
    return row;
  }

  takePlace(input) {
    input.dataset.dirty = "yes";
    this.commit(input);
  }

  onFieldKey(event, control) {
    if (event.key !== "Enter" || control.tagName !== "INPUT") return;
    this.commit(control);
    const controls = [...this.stopBlock.querySelectorAll("fieldset input, fieldset select")];
    const next = controls.filter((other) => other.offsetParent)[
      controls.filter((other) => other.offsetParent).indexOf(control) + 1
    ];
    if (next) next.focus();
  }

  commit(control) {
    if (!control.dataset.path || control.dataset.dirty !== "yes") return;
    control.dataset.dirty = "";
    const path = control.dataset.path;
    if (control.dataset.kind === "number") this.ask({ kind: "answer", path, text: control.value });
    else this.ask({ kind: "choose", path, word: control.value });
  }

  addBlock(stop) {
    const block = make("div", "adding");
    const options = stop.adds.map((add, place) => ({ word: String(place), text: add.text }));
    const select = choice(options);
    const add = button("Add", () => {
      const chosen = stop.adds[Number(select.value)];
      this.focusNext = "added";
      this.ask({ kind: "add", list: chosen.list, name: chosen.name });
    });
    block.append(labelled("Something more is here", select, "wt-add"), select, add);
    return block;
  }

  observationBlock(stop) {
    const block = make("fieldset", "observations");
    block.appendChild(make("legend", "", "Seen here"));
    this.observed = new Map();
    for (const observation of stop.observations) {
      const box = make("input");
      box.type = "checkbox";
      box.addEventListener("change", () =>
        this.ask({ kind: "observe", word: observation.word, seen: box.checked }),
      );
      const label = make("label");
      label.append(box, make("span", "", observation.text));
      box.id = idOf("seen", observation.word);
      block.appendChild(label);
      this.observed.set(observation.word, box);
    }
    return block;
  }

  buildPhotos(stop) {
    const names = make("datalist");
    names.id = "wt-pictures";
    const file = make("input");
    file.setAttribute("list", names.id);
    const note = make("input");
    const details = this.keptDetails("photos", "Photos of this stop");
    this.photoList = make("ul");
    const attach = () => {
      this.ask({ kind: "attach", file: file.value, note: note.value });
      file.value = "";
      note.value = "";
    };
    details.append(
      this.photoList,
      this.questionRow({ key: "photo", label: "File name of a picture", hint: "A picture from another folder is copied beside the house file." }, file),
      this.questionRow({ key: "photo-note", label: "What it shows", hint: "" }, note),
      names,
      button("Attach", attach),
    );
    this.pictureNames = names;
    this.photoBox.appendChild(details);
  }

  // ---- what changes with every answer -------------------------------------------------------------------

  shapeOf(walk) {
    const records = walk.stop.records.map((record) => [
      record.path,
      record.title,
      [...record.fields, ...record.more].map((field) => [field.path, field.kind, field.unit, field.options]),
    ]);
    return JSON.stringify([walk.stop.key, records, walk.stop.adds]);
  }

  show() {
    clearTimeout(this.waiting);
    const walk = this.model.get("walk");
    if (!walk.stop || this.atDoor) {
      if (this.shape !== "door") this.buildDoor();
      return;
    }
    const shape = this.shapeOf(walk);
    if (shape !== this.shape) this.rebuild(walk, shape);
    this.patch(walk);
    this.moveFocus(walk);
    this.paths = walk.stop.records.map((record) => record.path);
  }

  rebuild(walk, shape) {
    const focused = this.root.contains(document.activeElement) ? document.activeElement : null;
    const id = focused ? focused.id : "";
    const typing = focused && focused.dataset.dirty === "yes" ? focused.value : null;
    this.buildWalk(walk);
    this.shape = shape;
    const same = id ? document.getElementById(id) : null;
    if (!same) return;
    same.focus();
    if (typing !== null) {
      same.value = typing;
      same.dataset.dirty = "yes";
    }
  }

  patch(walk) {
    setText(this.nameLine, walk.name);
    setText(this.fileLine, `${walk.file}${walk.unsaved ? " (changes not saved)" : ""}: ${walk.progress}`);
    this.backButton.disabled = !walk.can_step_back;
    this.patchRoute(walk.route);
    this.patchBoxes(walk);
    for (const record of walk.stop.records) {
      [...record.fields, ...record.more].forEach((field) => this.patchField(field));
      const unanswered = record.fields.some((field) => field.estimate);
      const right = this.stopBlock.querySelector(`button[data-confirms="${record.path}"]`);
      if (right) right.hidden = !unanswered;
    }
    for (const observation of walk.stop.observations) {
      this.observed.get(observation.word).checked = observation.seen;
    }
  }

  patchRoute(route) {
    for (const entry of route) {
      const line = this.routeLines.get(entry.key);
      const mark = entry.wrong ? "look again, " : entry.done ? "✓ " : "";
      setText(line.progress, `${mark}${entry.progress}`);
      setText(line.option, `${entry.title} (${mark}${entry.progress || "nothing yet"})`);
      line.go.classList.toggle("here", entry.here);
      if (entry.here) {
        line.go.setAttribute("aria-current", "step");
        this.jump.value = entry.key;
      } else {
        line.go.removeAttribute("aria-current");
      }
    }
  }

  patchBoxes(walk) {
    this.draftBox.hidden = !walk.draft;
    this.draftBox.replaceChildren();
    if (walk.draft) {
      this.draftBox.append(
        make("p", "", walk.draft),
        button("Go on with the draft", () => this.ask({ kind: "draft", take: true }), "main"),
        button("Throw the draft away", () => this.ask({ kind: "draft", take: false })),
      );
    }
    this.problemBox.hidden = !walk.problems.length;
    this.problemBox.replaceChildren();
    if (walk.problems.length) {
      this.problemBox.appendChild(make("p", "", "This does not fit together yet, so it is not saved:"));
      this.problemBox.appendChild(this.located(walk.problems));
    }
    this.oddBox.replaceChildren();
    if (walk.oddities.length) {
      this.oddBox.append(make("h2", "", `Unusual, worth a second look (${walk.oddities.length})`), this.located(walk.oddities));
    }
    this.patchFindings(walk.stop);
  }

  located(entries) {
    const made = make("ul");
    for (const entry of entries) {
      const line = make("li", "", `${entry.text} `);
      const go = button("Go there", () => this.go(entry.stop));
      go.setAttribute("aria-label", `Go to the stop of: ${entry.text}`);
      line.appendChild(go);
      made.appendChild(line);
    }
    return made;
  }

  patchFindings(stop) {
    this.cautionBox.replaceChildren();
    for (const caution of stop.cautions) {
      const block = make("div", "caution");
      block.append(make("strong", "", caution.title), make("p", "", caution.text));
      this.cautionBox.appendChild(block);
    }
    this.measureBox.replaceChildren();
    if (stop.measures.length) {
      this.measureBox.append(make("h3", "", "This stop may call for"), list(stop.measures));
    }
    this.photoList.replaceChildren();
    for (const photo of stop.photos) {
      const line = make("li", "", `${photo.file}${photo.note ? `: ${photo.note}` : ""} `);
      const off = button("Take off", () => this.ask({ kind: "detach", place: photo.place }));
      off.setAttribute("aria-label", `Take off ${photo.file}`);
      line.appendChild(off);
      this.photoList.appendChild(line);
    }
    this.pictureNames.replaceChildren(
      ...stop.pictures.map((name) => {
        const option = make("option");
        option.value = name;
        return option;
      }),
    );
  }

  patchField(field) {
    const { control, row, state, unit, hint } = this.fields.get(field.path);
    setText(hint, field.hint);
    const value = field.refused ? field.typed : field.value;
    const typing = control === document.activeElement && control.dataset.dirty === "yes";
    if (!typing && control.value !== value) control.value = value;
    // an answer is written with its unit
    unit.hidden = Boolean(field.unit) && control.value === field.value && field.value.includes(field.unit);
    const kind = field.refused ? "refused" : field.odd ? "unusual" : field.estimate ? "estimate" : "";
    const texts = {
      refused: `Not taken: ${field.refused}`,
      unusual: [`Unusual: ${field.odd}`, field.estimate].filter(Boolean).join(" "),
      estimate: field.estimate,
    };
    row.dataset.state = kind;
    setText(state, kind ? texts[kind] : "");
    control.setAttribute("aria-invalid", field.refused ? "true" : "false");
  }

  moveFocus(walk) {
    const wanted = this.focusNext;
    this.focusNext = "";
    if (wanted === "title") {
      const title = document.getElementById("wt-title");
      if (title) title.focus();
      this.root.scrollIntoView({ block: "start" });
    }
    if (wanted === "added") {
      const fresh = walk.stop.records.find((record) => !(this.paths || []).includes(record.path));
      const first = fresh && this.stopBlock.querySelector(`fieldset[data-path="${fresh.path}"] input`);
      if (first) first.focus();
    }
  }
}

function render({ model, el }) {
  const root = make("div", "wt");
  el.appendChild(root);
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  const form = new Form(model, root);
  root.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
      event.preventDefault();
      event.stopPropagation();
      if (model.get("walk").stop && !form.atDoor) form.save();
    }
  });
  const showAll = () => {
    form.show();
    const said = model.get("said");
    form.say(said.text || "", said.wrong);
    form.offerChoices(said.choices || []);
  };
  model.on("change:said", showAll);
  model.on("change:door", () => { if (form.shape === "door") form.buildDoor(); });
  showAll();
}

export default { render };
