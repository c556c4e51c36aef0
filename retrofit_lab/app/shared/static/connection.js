// Notices when nothing answers behind the page any more, says so in a sentence, and offers a way back. Stands after parts.js.

import { make, setHidden, setText } from "./parts.js";

const ANSWER_WITHIN = 15000;
const LOOK_AFTER = 3000;
const LOOK_EVERY = 10000;
const GONE = ["ended", "silent"];

// What is behind the page: it "runs", has "ended", is "silent"; or nothing, where no server of ours says.
export async function behindPage() {
  const config = document.getElementById("jupyter-config-data");
  const { kernelId, baseUrl } = config ? JSON.parse(config.textContent) : {};
  if (!kernelId) return "";
  try {
    /** @type {RequestInit} */
    const options = { cache: "no-store", redirect: "manual" };
    const answer = await fetch(`${baseUrl}api/kernels/${kernelId}`, options);
    return answer.ok ? "runs" : "ended";
  } catch {
    return "silent";
  }
}

// The note, and what the page tells it: an answer is awaited, an answer came.
/**
 * @param {{goBack: () => void, kept: string, words: Object<string, string>}} options words for each state, for "still" and for the button
 */
export function connection({ goBack, kept, words }) {
  const block = make("div", "lost");
  block.setAttribute("role", "alert");
  block.hidden = true;
  const sentence = make("p");
  const again = make("button", "", words.again);
  again.type = "button";
  block.append(sentence, again);
  let shown = "";
  let waiting = 0;
  const tell = (state) => {
    if (shown === "ended") return;
    shown = state;
    setHidden(block, !state);
    setText(sentence, state ? `${words[state]} ${kept}`.trim() : "");
  };
  const look = async () => {
    const state = await behindPage();
    if (GONE.includes(state)) tell(state);
    else if (shown === "silent") tell("");
    return state;
  };
  again.addEventListener("click", async () => {
    if ((await behindPage()) === "silent") setText(sentence, words.still);
    else goBack();
  });
  watchBehind(look);
  const stop = () => {
    clearInterval(waiting);
    waiting = 0;
  };
  const came = () => {
    stop();
    tell("");
  };
  // one who asks again and again waits from the first time on
  const expect = () => {
    if (waiting) return;
    const end = performance.now() + ANSWER_WITHIN;
    waiting = setInterval(async () => {
      const late = performance.now() > end;
      if (!GONE.includes(await look()) && late) tell("slow");
      if (late) stop();
    }, LOOK_AFTER);
  };
  return { block, came, expect };
}

// Looks now and then while someone sees the page, and at once when they come back to it.
export function watchBehind(look) {
  const seen = () => { if (!document.hidden) look(); };
  setInterval(seen, LOOK_EVERY);
  document.addEventListener("visibilitychange", seen);
  window.addEventListener("online", seen);
  window.addEventListener("pageshow", (event) => { if (event.persisted) seen(); });
}
