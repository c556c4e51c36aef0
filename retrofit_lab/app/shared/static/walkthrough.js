// Draws the walkthrough form from finished texts that Python sends, and sends back what was entered; computes nothing.
// Everything a person typed arrives as text and is set as text.

import { behindPage } from "./connection.js";
import { make, setText } from "./parts.js";
import { PlaceBox } from "./place_box.js";
import { say, setTexts } from "./say.js";
import { AgreedBlock } from "./walk_agreed.js";
import { AheadBlock, Asked, pathsThatMatter } from "./walk_ahead.js";
import { Queue, keepPlace, placeIn, store, stored, withWaiting } from "./walk_kept.js";
import { DrawnHouse } from "./walk_house.js";
import { button, choice, idOf, labeled, list } from "./walk_parts.js";
import { smallPicture } from "./walk_picture.js";

const AHEAD_AFTER = 1200;
// A form that has ended is told within three seconds; one that writes a report answers only once that is done.
const PULSE_EVERY = 500;
const PULSE_AGAIN = 2000;
const SILENT_AFTER = 1900;
const REPORT_TAKES = 60000;
const LANGUAGE = "retrofit-lab-language";
const PHONE = window.matchMedia("(max-width: 40rem)");
const WIDE = window.matchMedia("(min-width: 90rem)");
// The house that is open is named behind the # of the address, so that a page that is loaded again goes on with it.
function rememberHouse(file) {
  if (file && document.getElementById("rendered_cells")) {
    history.replaceState(null, "", `${location.pathname}${location.search}#${encodeURIComponent(file)}`);
  }
}

function houseBefore() {
  return document.getElementById("rendered_cells") ? decodeURIComponent(location.hash.slice(1)) : "";
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
    this.queue = new Queue((keeping) => { root.dataset.keeping = keeping ? "yes" : "no"; });
    this.returning = null;
    this.asked = new Asked("");
    this.looked = 0;
    this.sent = 0;
    this.patient = 0;
    this.bills = null;
    this.stops = new Map();
    this.wholeOf = "";
    this.away = false;
    this.alone = "";
  }

  // What changes the house is kept in this browser until the form says that it is on the disk.
  ask(message) {
    if (this.queue.add(message, this.model.get("walk").file || "")) this.send(message);
  }

  send(message) {
    try {
      this.model.send(message);
    } catch {
      this.lost();
    }
  }

  // Asks again and again whether the form is still there; an answer also brings what others changed.
  watch() {
    const timer = setInterval(() => {
      if (!this.root.isConnected) { clearInterval(timer); return; }
      if (document.hidden) { this.looked = 0; return; }
      const now = performance.now();
      if (this.looked && now > this.looked + SILENT_AFTER && now > this.patient) this.lost();
      if (this.looked && now < this.sent + PULSE_AGAIN) return;
      this.looked ||= now;
      this.sent = now;
      this.send({ kind: "look" });
    }, PULSE_EVERY);
    window.addEventListener("offline", () => this.lost());
  }

  heardFrom(done) {
    this.looked = 0;
    this.patient = 0;
    this.queue.forget(done || []);
    if (!this.away) return;
    this.away = false;
    if (this.lostBox) this.lostBox.hidden = true;
    if (this.alone) this.send({ kind: "go", stop: this.alone });
    this.alone = "";
    this.sendAgain();
  }

  async sendAgain() {
    await this.queue.read;
    for (const message of this.queue.waiting(this.model.get("walk").file || "")) this.send(message);
  }

  lost() {
    if (!this.lostBox) return;
    const count = this.queue.count();
    setText(this.lostBox.firstChild, say(count === 1 ? "lost_one" : "lost", { count }));
    this.lostBox.hidden = false;
    this.away = true;
    this.comeBack();
  }

  // A form that has ended never answers this page again; a new one goes on with the house file and what is kept here.
  async comeBack() {
    if (this.coming) return;
    this.coming = true;
    const state = await behindPage();
    this.coming = false;
    const at = /** @type {HTMLElement | null} */ (document.activeElement);
    const typing = at && at.dataset.dirty === "yes";
    if (state === "ended" && !typing) location.reload();
  }

  say(text, wrong) {
    if (!this.saidLine) return;
    setText(this.saidLine, text);
    this.saidLine.classList.toggle("wrong", Boolean(wrong && text));
  }

  // Asks for what is worked out beside the form, once nobody has answered for a moment.
  askAhead() {
    clearTimeout(this.aheadWaits);
    this.aheadWaits = setTimeout(() => {
      const { file, stop } = this.model.get("walk");
      if (!stop || !this.root.isConnected || this.away) return;
      this.send({ kind: "ahead" });
      const whole = `${file} ${this.root.lang}`;
      if (whole !== this.wholeOf) this.send({ kind: "whole" });
      this.wholeOf = whole;
    }, AHEAD_AFTER);
  }

  showAhead() {
    if (!this.aheadBlock) return;
    const content = this.model.get("ahead");
    const open = this.aheadBlock.block.open;
    this.aheadBlock.show(content);
    this.aheadBlock.block.open = open;
    this.markWhatMatters();
  }

  markWhatMatters() {
    const matter = pathsThatMatter(this.model.get("ahead").stops || []);
    for (const [path, { row, matters }] of this.fields) {
      row.dataset.matters = matter.has(path) ? "yes" : "no";
      setText(matters, matter.has(path) ? say("matters") : "");
    }
  }

  askedOf(file) {
    if (this.asked.file !== file) this.asked = new Asked(file);
    return this.asked;
  }

  whereAt() {
    const walk = this.model.get("walk");
    return { here: walk.stop.key, order: walk.route.map((entry) => entry.key) };
  }

  goToQuestion(stop, path) {
    this.commitFocused();
    this.reveal = path;
    if (this.model.get("walk").stop.key === stop) this.revealQuestion();
    else this.go(stop);
  }

  // The question that was on the screen before the page was loaded again: shown as it was, alone or among all.
  takePlaceUp(stopKey) {
    if (!this.returning || this.returning.stop !== stopKey) return;
    const { step, all, path } = this.returning;
    this.returning = null;
    this.step = step;
    this.stepOf = stopKey;
    this.allQuestions = all;
    this.reveal = path;
  }

  keepPlace(path) {
    if (this.returning) return;
    const { file, stop } = this.model.get("walk");
    if (file && stop) keepPlace({ file, stop: stop.key, step: this.step, all: Boolean(this.allQuestions), path });
  }

  // The question that was asked for, on the screen and ready to be answered.
  revealQuestion() {
    const field = this.fields.get(this.reveal);
    this.reveal = "";
    if (!field) return;
    const folded = field.row.closest("details");
    if (folded) folded.open = true;
    const step = this.steps.findIndex((row) => row.contains(field.row));
    if (this.stepping && step >= 0) { this.step = step; this.showStep(); }
    field.row.scrollIntoView({ block: "center" });
    field.control.focus({ preventScroll: true });
  }

  // Everything is drawn anew in another language; what is being typed stays.
  languageBox() {
    const door = this.model.get("door");
    const select = choice(door.languages, door.language);
    select.addEventListener("change", () => this.setLanguage(select.value));
    const box = make("div", "language");
    box.append(labeled(say("language"), select, "wt-language"), select);
    return box;
  }

  setLanguage(language) {
    store(LANGUAGE, language);
    this.commitFocused();
    this.focusNext = "language";
    this.model.set("language", language);
    this.model.save_changes();
  }

  inLanguage() {
    const door = this.model.get("door");
    setTexts(door.texts);
    this.root.lang = door.language;
    this.shape = "";
    this.bills = null;
  }

  // ---- before a house is open ---------------------------------------------------------------------------

  buildDoor() {
    const door = this.model.get("door");
    this.shape = "door";
    this.root.replaceChildren();
    const title = make("h1", "", door.title);
    title.tabIndex = -1;
    this.root.append(this.languageBox(), title, this.newLostBox(), this.newSaidLine());
    const columns = make("div", "door");
    columns.append(this.startBlock(door), this.openBlock(door));
    this.root.appendChild(columns);
    if (this.model.get("walk").stop) {
      this.root.appendChild(button(say("back_to_open"), () => this.leaveDoor()));
    }
  }

  leaveDoor() {
    this.atDoor = false;
    this.shape = "";
    this.show();
  }

  newLostBox() {
    this.lostBox = make("div", "notice lost");
    this.lostBox.setAttribute("role", "alert");
    this.lostBox.hidden = true;
    const again = button(say("try_now"), () => location.reload());
    this.lostBox.append(make("p"), again);
    return this.lostBox;
  }

  newSaidLine() {
    this.folderBox = make("div");
    this.folderBox.setAttribute("role", "alert");
    this.saidLine = make("p", "said");
    this.saidLine.setAttribute("role", "status");
    const both = make("div");
    both.append(this.saidLine, this.folderBox);
    return both;
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
    block.appendChild(button(say("set_up"), begin, "main"));
    block.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.tagName === "INPUT") begin();
    });
    return block;
  }

  questionRow(question, control, shown = control) {
    const row = make("div", "field");
    row.appendChild(labeled(question.label, control, idOf("question", question.key)));
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
    const row = this.questionRow({ key: "other-file", label: say("other_file"), hint: "" }, other);
    const ways = make("div", "ways");
    ways.appendChild(button(say("open"), () => open(other.value)));
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
    this.root.append(this.topBlock(), this.newLostBox(), this.newSaidLine());
    this.elsewhereBox = make("p", "elsewhere");
    this.elsewhereBox.setAttribute("role", "status");
    this.problemBox = make("div", "problem");
    this.aheadBlock = new AheadBlock(
      (stop, path) => this.goToQuestion(stop, path),
      () => this.ask({ kind: "choose", path: "job.status", word: "walked" }),
      this.askedOf(walk.file),
      () => this.whereAt(),
    );
    this.root.append(this.elsewhereBox, this.problemBox, this.aheadBlock.element);
    const columns = make("div", "columns");
    this.stopBlock = make("div", "stop");
    this.house = new DrawnHouse(
      (stop, path) => {
        // on a small screen the question takes the place of the drawing
        if (!WIDE.matches) { this.openness.set("drawn", false); this.house.element.open = false; }
        this.goToQuestion(stop, path);
      },
      this.keptDetails("drawn", "", WIDE.matches),
    );
    columns.append(this.routeBlock(walk), this.house.element, this.stopBlock);
    this.root.appendChild(columns);
    this.buildStop(walk.stop);
    this.buildSteps(walk.stop.key);
    this.showAhead();
    this.oddBox = make("section", "odd");
    this.root.append(this.billsBlock(), this.oddBox);
  }

  topBlock() {
    const top = make("div", "top");
    const names = make("div", "names");
    this.nameLine = make("h1");
    this.fileLine = make("p", "file");
    names.append(this.nameLine, this.fileLine);
    this.backButton = button(say("undo"), () => this.ask({ kind: "back" }));
    this.backButton.title = "Ctrl+Z";
    this.forwardButton = button(say("redo"), () => this.ask({ kind: "forward" }));
    this.forwardButton.title = "Ctrl+Y";
    const other = button(say("other_house"), () => {
      this.atDoor = true;
      this.buildDoor();
      this.root.querySelector("h1").focus();
    });
    const ways = make("div", "ways");
    const report = button(say("write_report"), () => {
      this.commitFocused();
      this.patient = performance.now() + REPORT_TAKES;
      this.ask({ kind: "report" });
    });
    const more = button(say("more"), () => {
      this.moreOpen = top.classList.toggle("more");
      more.setAttribute("aria-expanded", String(this.moreOpen));
    });
    more.className = "less";
    top.classList.toggle("more", Boolean(this.moreOpen));
    more.setAttribute("aria-expanded", String(Boolean(this.moreOpen)));
    report.classList.add("seldom");
    other.classList.add("seldom");
    const language = this.languageBox();
    language.classList.add("seldom");
    ways.append(this.backButton, this.forwardButton, more, report, other, language);
    top.append(names, ways);
    return top;
  }

  // Another folder where the disk refuses this one; what waits is sent again once it is written there.
  offerFolder(unwritten) {
    const shown = this.folderBox.childElementCount > 0;
    if (!unwritten) {
      this.folderBox.replaceChildren();
      if (shown) this.sendAgain();
      return;
    }
    if (shown) return;
    const folder = make("input");
    const save = button(say("save_there"), () => this.send({ kind: "elsewhere", folder: folder.value }));
    const row = this.questionRow({ key: "folder", label: say("other_folder"), hint: "" }, folder);
    const box = make("div", "notice unwritten");
    box.append(make("p", "", say("unwritten")), row, save);
    this.folderBox.appendChild(box);
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

  // A grid of a year of bills; rows are checked and kept by Python. It stays while one goes from stop to stop.
  billsBlock() {
    const file = this.model.get("walk").file;
    if (!this.bills || this.bills.file !== file) this.bills = { file, block: this.newBillsBlock() };
    return this.bills.block;
  }

  newBillsBlock() {
    const typed = this.model.get("bills");
    this.billChoices = make("p", "choices");
    this.billAnswers = {};
    const columns = ["first_day", "last_day", "fuel", "use", "unit", "dollars"].map((key) => say(key));
    const block = make("details", "bills");
    block.append(
      make("summary", "", say("type_bills")),
      make("p", "", say("bills_help")),
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
          input.setAttribute("aria-label", say("bill_cell", { name, row: body.rows.length }));
          line.insertCell().appendChild(input);
        });
      }
    };
    addRows(Math.max(12, typed.length + 3));
    typed.forEach((row, number) =>
      [...body.rows[number].querySelectorAll("input")].forEach((input, place) => {
        input.value = row[place] || "";
      }),
    );
    scroll.appendChild(table);
    const rows = () =>
      [...body.rows].map((line) => [...line.querySelectorAll("input")].map((input) => input.value));
    block.append(
      scroll,
      button(say("more_rows"), () => addRows(12)),
      button(say("keep_bills"), () => this.ask({ kind: "bills", rows: rows(), answers: {} })),
      this.billChoices,
    );
    this.answerBills = (answers) => this.ask({ kind: "bills", rows: rows(), answers });
    return block;
  }

  commitFocused() {
    const active = document.activeElement;
    if (active && this.root.contains(active) && active.tagName === "INPUT") this.commit(active);
  }

  routeBlock(walk) {
    const block = make("nav", "route");
    block.setAttribute("aria-label", say("stops"));
    const jump = make("select", "jump");
    const label = labeled(say("go_to"), jump, "wt-jump");
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
    if (this.returning && this.returning.stop !== key) this.returning = null;
    if (this.away && this.goAlone(key)) return;
    this.ask({ kind: "go", stop: key });
  }

  // Another stop while the form is away, from what it sent before; the answers wait in this browser.
  goAlone(key) {
    const walk = this.model.get("walk");
    const stop = this.stops.get(key);
    if (!stop) return false;
    const waiting = this.queue.waiting(walk.file);
    const route = walk.route.map((entry) => ({ ...entry, here: entry.key === key }));
    this.model.set("walk", { ...walk, route, stop: withWaiting(stop, waiting) });
    this.alone = key;
    this.show();
    return true;
  }

  // Every stop, to go on with while the form is away; once for a house in a language.
  keepStops() {
    const whole = this.model.get("whole");
    if (whole.file === this.model.get("walk").file) this.stops = new Map(Object.entries(whole.stops));
  }

  buildStop(stop) {
    const block = this.stopBlock;
    const title = make("h2", "", stop.title);
    title.id = "wt-title";
    title.tabIndex = -1;
    block.appendChild(title);
    if (stop.care) block.appendChild(make("p", "care", stop.care));
    block.appendChild(this.adviceBlock(stop));
    if (stop.records.length) block.appendChild(make("p", "hint rules", stop.rules));
    for (const record of stop.records) block.appendChild(this.recordBlock(record));
    if (stop.adds.length) block.appendChild(this.addBlock(stop));
    if (stop.observations.length) block.appendChild(this.observationBlock(stop));
    this.agreed = "plan" in (stop.agreed || {}) ? new AgreedBlock((message) => this.ask({ kind: "agree", ...message })) : null;
    if (this.agreed) block.appendChild(this.agreed.element);
    this.cautionBox = make("div", "cautions");
    this.measureBox = make("section", "measures");
    this.photoBox = make("section", "photos");
    block.append(this.cautionBox, this.measureBox, this.photoBox);
    this.buildPhotos();
    const ways = make("div", "ways");
    if (stop.before) ways.appendChild(button(say("stop_before"), () => this.go(stop.before)));
    if (stop.after) ways.appendChild(button(say("stop_next"), () => this.go(stop.after), "main"));
    block.appendChild(ways);
  }

  // ---- one question at a time, on a phone ---------------------------------------------------------------

  // What is asked at a stop, in order; a part's rarer numbers stay under "More" of its last question.
  buildSteps(stopKey) {
    const rows = [...this.stopBlock.querySelectorAll("fieldset > .field, fieldset.observations, .adding, .agreed, .photos")];
    this.steps = rows;
    this.takePlaceUp(stopKey);
    if (this.stepOf !== stopKey) this.step = 0;
    this.stepOf = stopKey;
    this.stepBar = make("div", "stepbar");
    this.stepBefore = button(say("back"), () => this.moveStep(-1));
    this.stepCount = make("span", "count");
    this.stepNext = button(say("next"), () => this.moveStep(1), "main");
    this.stepBar.append(this.stepBefore, this.stepCount, this.stepNext);
    this.stepAll = button("", () => {
      this.allQuestions = !this.allQuestions;
      this.showStep();
    });
    this.stepAll.className = "stepall";
    this.stopBlock.prepend(this.stepAll);
    this.stopBlock.appendChild(this.stepBar);
    this.showStep();
  }

  get stepping() {
    return PHONE.matches && !this.allQuestions && this.steps.length > 0;
  }

  showStep() {
    if (!this.steps) return;
    const one = this.stepping;
    this.root.classList.toggle("stepping", one);
    this.root.classList.toggle("begun", this.step > 0);
    setText(this.stepAll, say(one ? "show_all" : "show_one"));
    this.step = Math.min(Math.max(this.step, 0), Math.max(this.steps.length - 1, 0));
    this.steps.forEach((row, place) => row.classList.toggle("now", place === this.step));
    this.stopBlock.querySelectorAll("fieldset").forEach((block) =>
      block.classList.toggle("now", block.classList.contains("now") || Boolean(block.querySelector(".now"))),
    );
    for (const block of this.stopBlock.querySelectorAll("fieldset:not(.observations)")) {
      block.classList.toggle("now", Boolean(block.querySelector(".field.now")));
    }
    setText(this.stepCount, say("step", { at: this.step + 1, count: this.steps.length }));
    const stop = this.model.get("walk").stop;
    this.stepBefore.disabled = this.step === 0 && !stop.before;
    setText(this.stepNext, say(this.step + 1 < this.steps.length ? "next" : "stop_next"));
    this.keepPlace("");
  }

  moveStep(by) {
    this.commitFocused();
    const stop = this.model.get("walk").stop;
    const wanted = this.step + by;
    if (wanted >= this.steps.length) { if (stop.after) this.go(stop.after); return; }
    if (wanted < 0) { if (stop.before) this.go(stop.before); return; }
    this.step = wanted;
    this.showStep();
    const control = this.steps[this.step].querySelector("input, select");
    if (control) control.focus({ preventScroll: true });
    this.steps[this.step].scrollIntoView({ block: "center" });
  }

  adviceBlock(stop) {
    const block = make("div", "advice");
    block.appendChild(make("p", "why", stop.why));
    const details = this.keptDetails("advice", say("advice"), !PHONE.matches);
    const here = make("div", "findings");
    if (stop.look.length) here.append(this.tips(say("look_for"), stop.look), this.tips(say("measure"), stop.measure));
    const other = make("div", "findings");
    for (const finding of stop.findings) (finding.here ? here : other).appendChild(this.findingBlock(finding));
    details.appendChild(here);
    block.appendChild(details);
    if (other.childElementCount) {
      const more = this.keptDetails("elsewhere", say("not_here", { count: other.childElementCount }));
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
    for (const [name, text] of [["look", finding.look], ["measure", finding.how], ["why", finding.why]]) {
      const line = make("p");
      line.append(make("b", "", `${say(name)}: `), make("span", "", text));
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
      const details = this.keptDetails(`more-${record.path}`, say("more_count", { count: record.more.length }));
      record.more.forEach((field) => details.appendChild(this.fieldRow(field)));
      block.appendChild(details);
    }
    const ways = make("div", "ways small");
    const right = button(say("confirm"), () =>
      this.ask({ kind: "confirm", path: record.path }),
    );
    right.dataset.confirms = record.path;
    ways.appendChild(right);
    if (record.copied) {
      const copy = button(say("copy"), () => {
        this.focusNext = "added";
        this.ask({ kind: "copy", path: record.path });
      });
      copy.setAttribute("aria-label", say("copy_what", { what: record.title }));
      ways.appendChild(copy);
    }
    if (record.path.startsWith("windows.")) {
      ways.appendChild(button(say("same"), () => this.ask({ kind: "same", path: record.path })));
    }
    if (record.removable) {
      const remove = button(say("remove"), () => {
        this.focusNext = "title";
        this.ask({ kind: "remove", path: record.path });
      });
      remove.setAttribute("aria-label", say("remove_what", { what: record.title }));
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
    const matters = make("p", "matters");
    row.append(labeled(field.label, control, id), box, state, hint, matters);
    control.addEventListener("input", () => { control.dataset.dirty = "yes"; });
    control.addEventListener("change", () => this.commit(control));
    control.addEventListener("keydown", (event) => this.onFieldKey(event, control));
    this.fields.set(field.path, { control, row, state, unit, hint, matters });
    return row;
  }

  takePlace(input) {
    input.dataset.dirty = "yes";
    this.commit(input);
  }

  onFieldKey(event, control) {
    if (event.key !== "Enter" || control.tagName !== "INPUT") return;
    this.commit(control);
    if (this.stepping) { this.moveStep(1); return; }
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
    this.aheadBlock.isAnswered(path, control.value !== "");
    if (control.dataset.kind === "number") this.ask({ kind: "answer", path, text: control.value });
    else this.ask({ kind: "choose", path, word: control.value });
  }

  addBlock(stop) {
    const block = make("div", "adding");
    const options = stop.adds.map((add, place) => ({ word: String(place), text: add.text }));
    const select = choice(options);
    const add = button(say("add"), () => {
      const chosen = stop.adds[Number(select.value)];
      this.focusNext = "added";
      this.ask({ kind: "add", list: chosen.list, name: chosen.name });
    });
    block.append(labeled(say("something_more"), select, "wt-add"), select, add);
    return block;
  }

  observationBlock(stop) {
    const block = make("fieldset", "observations");
    block.appendChild(make("legend", "", say("seen")));
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

  buildPhotos() {
    const names = make("datalist");
    names.id = "wt-pictures";
    const file = make("input");
    file.setAttribute("list", names.id);
    const note = make("input");
    const details = this.keptDetails("photos", say("photos"));
    this.photoList = make("ul");
    const attach = () => {
      this.ask({ kind: "attach", file: file.value, note: note.value });
      file.value = "";
      note.value = "";
    };
    const camera = make("input");
    camera.type = "file";
    camera.accept = "image/*";
    camera.addEventListener("change", async () => {
      for (const chosen of camera.files) {
        const picture = await smallPicture(chosen);
        this.ask({ kind: "picture", picture, name: chosen.name, note: note.value });
      }
      camera.value = "";
      note.value = "";
    });
    details.append(
      this.photoList,
      this.questionRow({ key: "camera", label: say("take_picture"), hint: say("take_picture_hint") }, camera),
      this.questionRow({ key: "photo", label: say("picture_file"), hint: say("picture_file_hint") }, file),
      this.questionRow({ key: "photo-note", label: say("picture_note"), hint: "" }, note),
      names,
      button(say("attach"), attach),
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
    const walk = this.model.get("walk");
    rememberHouse(walk.file);
    if (!walk.stop || this.atDoor) {
      if (this.shape !== "door") this.buildDoor();
      this.moveFocus(walk);
      return;
    }
    const shape = this.shapeOf(walk);
    if (shape !== this.shape) this.rebuild(walk, shape);
    this.patch(walk);
    this.moveFocus(walk);
    this.stops.set(walk.stop.key, walk.stop);
    if (this.away) this.lost();
    this.paths = walk.stop.records.map((record) => record.path);
  }

  rebuild(walk, shape) {
    const at = /** @type {HTMLInputElement | null} */ (document.activeElement);
    const focused = this.root.contains(at) ? at : null;
    const id = focused ? focused.id : "";
    const typing = focused && focused.dataset.dirty === "yes" ? focused.value : null;
    this.buildWalk(walk);
    this.shape = shape;
    const same = /** @type {HTMLInputElement | null} */ (id ? document.getElementById(id) : null);
    if (!same) return;
    same.focus();
    if (typing !== null) {
      same.value = typing;
      same.dataset.dirty = "yes";
    }
  }

  patch(walk) {
    setText(this.nameLine, walk.name);
    setText(this.fileLine, `${walk.file}, ${walk.standing}: ${walk.progress}. ${walk.job}`);
    this.backButton.disabled = !walk.can_step_back;
    this.forwardButton.disabled = !walk.can_step_forward;
    if (walk.elsewhere) setText(this.elsewhereBox, walk.elsewhere);
    this.patchRoute(walk.route);
    this.house.show(this.model.get("drawn"));
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
      const mark = entry.wrong ? `${say("look_again")}, ` : entry.done ? "✓ " : "";
      setText(line.progress, `${mark}${entry.progress}`);
      setText(line.option, `${entry.title} (${mark}${entry.progress || say("nothing_yet")})`);
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
    this.problemBox.hidden = !walk.problems.length;
    this.problemBox.replaceChildren();
    if (walk.problems.length) {
      this.problemBox.appendChild(make("p", "", say("does_not_fit")));
      this.problemBox.appendChild(this.located(walk.problems));
    }
    this.oddBox.replaceChildren();
    if (walk.oddities.length) {
      this.oddBox.append(make("h2", "", say("unusual_count", { count: walk.oddities.length })), this.located(walk.oddities));
    }
    this.patchFindings(walk.stop);
  }

  located(entries) {
    const made = make("ul");
    for (const entry of entries) {
      const line = make("li", "", `${entry.text} `);
      const go = button(say("go_there"), () => this.go(entry.stop));
      go.setAttribute("aria-label", say("go_there_what", { what: entry.text }));
      line.appendChild(go);
      made.appendChild(line);
    }
    return made;
  }

  patchFindings(stop) {
    if (this.agreed) this.agreed.show(stop.agreed);
    this.cautionBox.replaceChildren();
    for (const caution of stop.cautions) {
      const block = make("div", "caution");
      block.append(make("strong", "", caution.title), make("p", "", caution.text));
      this.cautionBox.appendChild(block);
    }
    this.measureBox.replaceChildren();
    if (stop.measures.length) {
      this.measureBox.append(make("h3", "", say("calls_for")), list(stop.measures));
    }
    this.photoList.replaceChildren();
    for (const photo of stop.photos) {
      const line = make("li", "", `${photo.note || photo.file} `);
      if (photo.picture) {
        const shown = make("img");
        shown.src = photo.picture;
        shown.alt = "";
        line.prepend(shown);
      }
      const off = button(say("take_off"), () => this.ask({ kind: "detach", place: photo.place }));
      off.setAttribute("aria-label", say("take_off_what", { what: photo.file }));
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
    if (!typing && (field.refused || field.estimate) && !this.queue.holds(field.path)) this.aheadBlock.isAnswered(field.path, false);
    const kind = field.refused ? "refused" : field.odd ? "unusual" : field.estimate ? "estimate" : "";
    const texts = {
      refused: say("not_taken", { why: field.refused }),
      unusual: [say("unusual", { what: field.odd }), field.estimate].filter(Boolean).join(" "),
      estimate: field.estimate,
    };
    row.dataset.state = kind;
    setText(state, kind ? texts[kind] : "");
    control.setAttribute("aria-invalid", field.refused ? "true" : "false");
  }

  moveFocus(walk) {
    const wanted = this.focusNext;
    this.focusNext = "";
    if (this.reveal && this.fields.has(this.reveal)) { this.revealQuestion(); return; }
    if (wanted === "title") {
      const title = document.getElementById("wt-title");
      if (title) title.focus();
      this.root.scrollIntoView({ block: "start" });
    }
    if (wanted === "language") document.getElementById("wt-language")?.focus();
    if (wanted === "added") {
      const fresh = walk.stop.records.find((record) => !(this.paths || []).includes(record.path));
      const first = fresh && this.stopBlock.querySelector(`fieldset[data-path="${fresh.path}"] input`);
      if (first) first.focus();
    }
  }
}

// A page that is loaded again goes on with the house that was on the screen.
function goOn(form, model) {
  const before = houseBefore();
  if (model.get("walk").file || !before || !model.get("door").files.includes(before)) {
    takeUp(form, model);
    return;
  }
  const opened = () => {
    model.off("change:walk", opened);
    takeUp(form, model);
  };
  form.ask({ kind: "open", file: before });
  model.on("change:walk", opened);
}

// At the stop of the question where the walk was left, with what waits in this browser.
function takeUp(form, model) {
  const { stop } = model.get("walk");
  if (form.returning && stop && form.returning.stop !== stop.key) form.go(form.returning.stop);
  form.sendAgain();
}

function render({ model, el }) {
  const root = make("div", "wt");
  el.appendChild(root);
  const starting = document.getElementById("starting");
  if (starting) starting.remove();
  const form = new Form(model, root);
  form.returning = placeIn(model.get("walk").file || houseBefore());
  form.inLanguage();
  // the form lies in a notebook, whose own shortcuts look at the focused element itself
  root.addEventListener("focusin", (event) => {
    const at = /** @type {HTMLElement} */ (event.target);
    at.setAttribute("data-lm-suppress-shortcuts", "true");
    if (at.dataset.path && form.fields.has(at.dataset.path)) form.keepPlace(at.dataset.path);
  });
  root.addEventListener("keydown", (event) => {
    const key = event.key.toLowerCase();
    if (!(event.ctrlKey || event.metaKey) || !model.get("walk").stop || form.atDoor) return;
    const typing = event.target.dataset.dirty === "yes" || event.target.closest(".bills, .photos");
    if (key === "s") form.commitFocused();
    else if (key === "z" && !event.shiftKey && !typing) form.ask({ kind: "back" });
    else if ((key === "y" || (key === "z" && event.shiftKey)) && !typing) form.ask({ kind: "forward" });
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  let turn = -1;
  const showAll = () => {
    const said = model.get("said");
    if (said.turn !== turn || !said.pulse) {
      form.show();
      form.askAhead();
      form.say(said.text || "", said.wrong);
      form.offerChoices(said.choices || []);
      form.offerFolder(Boolean(said.unwritten));
      turn = said.turn;
    }
    form.heardFrom(said.done);
  };
  model.on("change:said", showAll);
  model.on("change:whole", () => form.keepStops());
  model.on("change:ahead", () => form.showAhead());
  model.on("change:door", () => {
    const another = root.lang !== model.get("door").language;
    if (another) form.inLanguage();
    if (another || form.shape === "door") form.show();
  });
  showAll();
  form.watch();
  const spoken = stored(LANGUAGE);
  if (spoken && spoken !== model.get("language")) form.setLanguage(spoken);
  PHONE.addEventListener("change", () => form.showStep());
  goOn(form, model);
}

export default { render };
