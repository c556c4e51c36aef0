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

// What a browser stores as text is on its disk only seconds later; this store writes at once, so that a browser that is
// ended while the form is away loses nothing either. One that has no such store goes on without it.
class Disk {
  constructor() {
    this.opened = new Promise((resolve) => {
      try {
        const asked = indexedDB.open("retrofit-lab-walk", 1);
        asked.onupgradeneeded = () => asked.result.createObjectStore("items");
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => resolve(null);
      } catch {
        resolve(null);
      }
    });
  }

  async items(mode) {
    const opened = await this.opened;
    return opened && opened.transaction("items", mode, { durability: "strict" }).objectStore("items");
  }

  async put(item) {
    (await this.items("readwrite"))?.put(item, item.message.id);
  }

  async remove(names) {
    const items = await this.items("readwrite");
    if (items) names.forEach((name) => items.delete(name));
  }

  async all() {
    const items = await this.items("readonly");
    if (!items) return [];
    return new Promise((resolve) => {
      const asked = items.getAll();
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => resolve([]);
    });
  }
}

// Answers that the form has not confirmed yet, in the storage of this browser, so that they outlive page and form.
export class Queue {
  constructor() {
    this.disk = new Disk();
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
    this.disk.put({ file, message, at: Date.now() });
  }

  forget(done) {
    const left = this.items.filter((item) => !done.includes(item.message.id));
    if (left.length === this.items.length) return;
    this.items = left;
    this.keep();
    this.disk.remove(done);
  }

  // What an ended browser had on its disk and not in its other store; true where there was something.
  async fromDisk() {
    const known = new Set(this.items.map((item) => item.message.id));
    const more = (await this.disk.all()).filter((item) => !known.has(item.message.id));
    // the newest answer to a question is sent last, and stands
    this.items.push(...more.sort((one, other) => one.at - other.at));
    return more.length > 0;
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
