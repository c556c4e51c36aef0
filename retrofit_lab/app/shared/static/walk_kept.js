// What this browser keeps of the walk until the form has it on the disk; nothing is shown here.

export const KEPT = new Set(["answer", "choose", "observe", "add", "confirm", "remove", "copy", "same", "agree", "bills", "picture"]);

const LONGEST_READ = 3000;
const PLACE = "retrofit-lab-place";

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

// The question that was on the screen, so that a page that is loaded again goes on there.
export function keepPlace(place) {
  store(PLACE, JSON.stringify(place));
}

export function placeIn(file) {
  try {
    const place = JSON.parse(stored(PLACE) || "null");
    return place && place.file === file ? place : null;
  } catch {
    return null;
  }
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

  // true once it is on the disk, false where there is no such store
  async put(item) {
    const items = await this.items("readwrite");
    if (!items) return false;
    items.put(item, item.message.id);
    return new Promise((resolve) => {
      items.transaction.oncomplete = () => resolve(true);
      items.transaction.onabort = () => resolve(false);
    });
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

// What a store holds, or nothing where it does not answer.
function soon(items) {
  let timer;
  const nothing = new Promise((resolve) => { timer = setTimeout(resolve, LONGEST_READ, []); });
  return Promise.race([items, nothing]).finally(() => clearTimeout(timer));
}

// Older answers go first, so that the newest answer to a question is the last that is sent, and stands.
export function inOrder(items, more) {
  const known = new Set(items.map((item) => item.message.id));
  return [...items, ...more.filter((item) => !known.has(item.message.id))].sort((one, other) => (one.at || 0) - (other.at || 0));
}

// Answers that the form has not confirmed yet, in the storage of this browser, so that they outlive page and form.
// Nothing is sent before what an ended browser left is known, since that is older. `onKeeping` hears whether an answer
// is on no disk yet: neither on this device nor with the form.
export class Queue {
  /** @param {(keeping: boolean) => void} onKeeping */
  constructor(onKeeping = () => {}, disk = new Disk()) {
    this.disk = disk;
    this.onKeeping = onKeeping;
    this.fresh = new Set();
    this.device = stored("retrofit-lab-device") || newName();
    store("retrofit-lab-device", this.device);
    try {
      this.items = JSON.parse(stored("retrofit-lab-walk") || "[]");
    } catch {
      this.items = [];
    }
    this.known = false;
    this.read = soon(this.disk.all()).then((more) => {
      this.items = inOrder(this.items, more);
      this.known = true;
    });
  }

  // Takes a message into what is kept; true where it may be sent at once.
  add(message, file) {
    message.id = newName();
    message.device = this.device;
    if (!KEPT.has(message.kind)) return true;
    const item = { file, message, at: Date.now() };
    this.items.push(item);
    this.keep();
    this.fresh.add(message.id);
    this.onKeeping(true);
    this.disk.put(item).then((kept) => { if (kept) this.onDisk([message.id]); });
    return this.known;
  }

  onDisk(names) {
    names.forEach((name) => this.fresh.delete(name));
    this.onKeeping(this.fresh.size > 0);
  }

  forget(done) {
    this.onDisk(done);
    const left = this.items.filter((item) => !done.includes(item.message.id));
    if (left.length === this.items.length) return;
    this.items = left;
    this.keep();
    this.disk.remove(done);
  }

  waiting(file) {
    return this.items.filter((item) => item.file === file).map((item) => item.message);
  }

  // whether an answer to a question is on its way
  holds(path) {
    return this.items.some((item) => item.message.path === path);
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
