// Keeps a page about the shop up to date: its pieces are put in anew whenever the log has something new, and every
// half minute, since times go on by themselves.

import { put } from "./pieces.js";

let asked = null;
let next = null;
// What was left alone is looked at again.
let later = 0;
// What stands, without the ids of entries: every answer has others, and that alone is no news.
const stands = new Map();
const bare = (html) => html.replace(/name="id" value="[^"]*"/g, "");
for (const piece of document.querySelectorAll("[data-piece]")) stands.set(piece.dataset.piece, bare(piece.innerHTML));

/** Puts in what the page would say if it were loaded now; whether the server could be asked. */
export function anew(tint = true) {
  if (!asked) {
    asked = answered(tint).finally(() => (asked = null));
    return asked;
  }
  // What happens while an answer is on its way may not be in it.
  next ??= asked.then(() => {
    next = null;
    return anew(tint);
  });
  return next;
}

async function answered(tint) {
  let there = false;
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
    there = answer.ok;
    if (there) take(new DOMParser().parseFromString(await answer.text(), "text/html"), tint);
  } catch {
    there = false;
  }
  document.querySelector("main").classList.toggle("unreached", !there);
  return there;
}

function take(page, tint) {
  const pieces = {};
  for (const piece of page.querySelectorAll("[data-piece]")) {
    const [id, html] = [piece.dataset.piece, piece.innerHTML];
    if (stands.get(id) === bare(html)) continue;
    if (typedIn(id)) {
      clearTimeout(later);
      later = setTimeout(() => anew(tint), 1500);
      continue;
    }
    stands.set(id, bare(html));
    pieces[id] = html;
  }
  document.body.dataset.revision = page.body.dataset.revision;
  document.body.dataset.token = page.body.dataset.token;
  put(pieces, tint);
}

// Where a finger or a button of the mouse is down: what is put in anew under it would swallow the tap.
let pressed = null;
addEventListener("pointerdown", (event) => (pressed = event.target), true);
for (const end of ["pointerup", "pointercancel"]) {
  addEventListener(end, () => {
    // The tap itself comes after it.
    setTimeout(() => (pressed = null), 50);
  }, true);
}

/** What somebody taps, types into, or has typed into and not sent, is left alone. */
function typedIn(id) {
  const place = document.querySelector(`[data-piece="${id}"]`);
  if (pressed && place?.contains(pressed)) return true;
  const here = document.activeElement;
  if (here?.matches("input, select, textarea") && place?.contains(here)) return true;
  const blanks = [...(place?.querySelectorAll("input, textarea") ?? [])];
  const chosen = [...(place?.querySelectorAll("select") ?? [])];
  return blanks.some((one) => one.type !== "hidden" && one.value !== one.defaultValue)
    || chosen.some((one) => one.selectedIndex > 0 && !one.selectedOptions[0].defaultSelected);
}

const told = new EventSource("/told");
told.addEventListener("changed", (event) => {
  if (event.data !== document.body.dataset.revision) anew();
});
// After a break in the line something may have been missed.
let broken = false;
told.addEventListener("error", () => {
  broken = true;
  // The server answered, and let nobody in: the page as it is now says why.
  if (told.readyState === EventSource.CLOSED) location.reload();
  document.querySelector("main").classList.add("unreached");
});
told.addEventListener("open", async () => {
  if (broken && (await anew())) dispatchEvent(new Event("reached"));
  broken = false;
});
setInterval(() => {
  if (!document.hidden) anew(false);
}, 30000);
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) anew();
});
addEventListener("pagehide", () => told.close());
