// Keeps a page about the shop up to date: its pieces are put in anew whenever the log has something new, and every
// half minute, since times go on by themselves.

import { put } from "./pieces.js";

let asked = null;

/** Puts in what the page would say if it were loaded now. */
export async function anew() {
  if (asked) return asked;
  asked = fetch(location.href, { headers: { Accept: "text/html" } });
  try {
    const answer = await asked;
    if (!answer.ok) return false;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const pieces = {};
    for (const piece of page.querySelectorAll("[data-piece]")) {
      const id = piece.dataset.piece;
      if (!typedIn(id)) pieces[id] = piece.innerHTML;
    }
    document.body.dataset.revision = page.body.dataset.revision;
    document.body.dataset.token = page.body.dataset.token;
    put(pieces);
    dispatchEvent(new Event("anew"));
    return true;
  } catch {
    return false;
  } finally {
    asked = null;
  }
}

/** What somebody types into is left alone. */
function typedIn(id) {
  const here = document.activeElement;
  return here?.matches("input, select, textarea") && here.closest(`[data-piece="${id}"]`) !== null;
}

const told = new EventSource("/told");
told.addEventListener("changed", (event) => {
  if (event.data !== document.body.dataset.revision) anew();
});
// After a break in the line something may have been missed.
let broken = false;
told.addEventListener("error", () => (broken = true));
told.addEventListener("open", () => {
  if (broken) anew();
  broken = false;
});
setInterval(() => {
  if (!document.hidden) anew();
}, 30000);
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) anew();
});
addEventListener("pagehide", () => told.close());
