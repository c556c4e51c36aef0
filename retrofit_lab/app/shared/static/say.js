// Sentences of a page: they come with the first message, in one language, and have blanks in braces.

/** @type {Object<string, string>} */
let sentences = {};

/** @param {Object<string, string>} texts */
export function setTexts(texts) {
  sentences = texts;
}

/**
 * A sentence with its blanks filled.
 * @param {string} key
 * @param {Object<string, string | number>} [blanks]
 * @returns {string}
 */
export function say(key, blanks = {}) {
  return (sentences[key] || key).replace(/\{(\w+)\}/g, (whole, name) =>
    name in blanks ? String(blanks[name]) : whole,
  );
}

/**
 * A title inside a sentence: only its first letter becomes small.
 * @param {string} title
 * @returns {string}
 */
export const lower = (title) => title.slice(0, 1).toLowerCase() + title.slice(1);
