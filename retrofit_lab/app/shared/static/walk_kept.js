// What this browser keeps of the walk until the form has it on the disk; nothing is shown here.

export const KEPT = new Set(["answer", "choose", "observe", "add", "confirm", "remove", "copy", "same", "agree", "bills", "picture"]);

export function newName() {
  return [...crypto.getRandomValues(new Uint8Array(9))].map((byte) => byte.toString(36).padStart(2, "0")).join("");
}

export function stored(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

// A browser that keeps nothing still shows the form; a full one keeps what fits.
export function store(key, text) {
  try {
    localStorage.setItem(key, text);
  } catch { /* said by the note when the connection is lost */ }
}

// Answers that the form has not confirmed yet, in the storage of this browser, so that they outlive page and form.
export class Queue {
  constructor() {
    this.device = stored("retrofit-lab-device") || newName();
    store("retrofit-lab-device", this.device);
    try {
      this.items = JSON.parse(stored("retrofit-lab-walk") || "[]");
    } catch {
      this.items = [];
    }
  }

  add(message, file) {
    message.id = newName();
    message.device = this.device;
    if (!KEPT.has(message.kind)) return;
    this.items.push({ file, message });
    this.keep();
  }

  forget(done) {
    const left = this.items.filter((item) => !done.includes(item.message.id));
    if (left.length === this.items.length) return;
    this.items = left;
    this.keep();
  }

  waiting(file) {
    return this.items.filter((item) => item.file === file).map((item) => item.message);
  }

  count() {
    return this.items.length;
  }

  keep() {
    store("retrofit-lab-walk", JSON.stringify(this.items));
  }
}

/**
 * A stop with the answers that wait in this browser, as the form will show it once it has them.
 * @param {any} stop
 * @param {any[]} waiting
 */
export function withWaiting(stop, waiting) {
  const typed = new Map(waiting.filter((one) => one.kind === "answer").map((one) => [one.path, one.text]));
  waiting.filter((one) => one.kind === "choose").forEach((one) => typed.set(one.path, one.word));
  const seen = new Map(waiting.filter((one) => one.kind === "observe").map((one) => [one.word, one.seen]));
  const field = (one) => (typed.has(one.path) ? { ...one, value: typed.get(one.path), estimate: "", refused: "" } : one);
  return {
    ...stop,
    records: stop.records.map((record) => ({
      ...record, fields: record.fields.map(field), more: record.more.map(field),
    })),
    observations: stop.observations.map((one) => (seen.has(one.word) ? { ...one, seen: seen.get(one.word) } : one)),
  };
}
