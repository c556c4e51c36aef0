// The plan in the address line: a link carries it, and each change is a step that Back and Undo take back.

/**
 * @typedef {{ticked: string[], kept: {name: string, ticked: string[]}[], anyway: string[], units: string, language: string, mark: string}} Place
 */

const LINK_MARK = "~";
const OURS = ["tick", "keep", "anyway", "units", "language", "house", "token"];

/**
 * @param {Place} place
 * @param {string} href
 * @returns {string}
 */
export function linkOf(place, href) {
  const address = new URL(href);
  address.hash = "";
  OURS.forEach((name) => address.searchParams.delete(name));
  const put = (name, text) => { if (text) address.searchParams.append(name, text); };
  put("tick", place.ticked.join("."));
  place.kept.forEach(({ name, ticked }) => put("keep", `${name}${LINK_MARK}${ticked.join(".")}`));
  put("anyway", place.anyway.join(","));
  put("units", place.units === "us" ? "" : place.units);
  put("language", place.language === "en" ? "" : place.language);
  if (place.ticked.length || place.kept.length) put("house", place.mark);
  return address.href;
}

/**
 * @param {string} href
 * @returns {Place}
 */
export function placeOf(href) {
  const asked = new URL(href).searchParams;
  const list = (name, mark) => (asked.get(name) || "").split(mark).filter(Boolean);
  const kept = asked.getAll("keep").map((text) => {
    const mark = text.lastIndexOf(LINK_MARK);
    return { name: text.slice(0, Math.max(mark, 0)), ticked: text.slice(mark + 1).split(".") };
  });
  return {
    ticked: list("tick", "."), kept, anyway: list("anyway", ","), units: (asked.get("units") || "").toLowerCase(),
    language: asked.get("language") || "", mark: asked.get("house") || "",
  };
}

/** Whether two links name the same plans: a change of language or units is no step. */
export function samePlans(first, second) {
  const bare = (href) => {
    const place = placeOf(href);
    return JSON.stringify([place.ticked, place.kept, place.anyway]);
  };
  return bare(first) === bare(second);
}

/**
 * Steps of a visit as entries of the browser's history.
 * @param {{restore: (place: Place) => void, moved: (back: boolean, forth: boolean) => void}} options
 */
export function stepsOf({ restore, moved }) {
  let step = Number(history.state && history.state.step) || 0;
  let last = step;
  let awaited = "";
  const tell = () => moved(step > 0, step < last);
  const write = (link) => {
    if (awaited) {
      if (link === awaited) awaited = "";
      return;
    }
    if (link === window.location.href) return;
    if (samePlans(link, window.location.href)) {
      history.replaceState({ step }, "", link);
      return;
    }
    step += 1;
    last = step;
    history.pushState({ step }, "", link);
    tell();
  };
  const heard = (event) => {
    step = Number(event.state && event.state.step) || 0;
    last = Math.max(last, step);
    awaited = window.location.href;
    // where the house refuses a part of it, the address follows what stands
    setTimeout(() => { awaited = ""; }, RESTORED_WITHIN);
    restore(placeOf(awaited));
    tell();
  };
  window.addEventListener("popstate", heard);
  return {
    write,
    tell,
    first: (link) => { history.replaceState({ step }, "", link); tell(); },
    undo: () => { if (step > 0) history.back(); },
    redo: () => { if (step < last) history.forward(); },
    close: () => window.removeEventListener("popstate", heard),
  };
}

const RESTORED_WITHIN = 3000;
