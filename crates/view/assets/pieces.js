// Puts pieces of a page in anew, only those that differ, and says which were touched.

const held = new Map();
// What tells apart what stands in each piece; empty where nobody said.
const digests = new Map();
for (const place of document.querySelectorAll("[data-piece]")) {
  held.set(place.dataset.piece, place);
  digests.set(place.dataset.piece, place.dataset.digest ?? "");
}
const last = new Map();
// What nobody sees now, until it is looked at or nothing else is to be done.
const unlaid = new Map();
let idle = 0;

/** What this page has: the server sends only what differs from it. */
export const has = () => [...digests].map(([id, digest]) => `${id}=${digest}`).join(" ");

/**
 * Every piece that differs is put in; what stood open stays open. What only time has changed is not tinted. `told` are
 * the digests of all pieces: whether the page has all of them now.
 */
export function put(pieces, tint = true, told = {}) {
  for (const [id, html] of Object.entries(pieces)) {
    const place = held.get(id);
    if (!place) continue;
    digests.set(id, told[id] ?? "");
    if (last.get(id) === html) continue;
    const known = last.has(id);
    last.set(id, html);
    unlaid.delete(id);
    if (place.closest("details:not([open])")) unlaid.set(id, html);
    else lay(place, html, tint, known);
  }
  clearTimeout(idle);
  if (unlaid.size) idle = setTimeout(whenIdle, 400);
  return Object.entries(told).every(([id, digest]) => !held.has(id) || digests.get(id) === digest);
}

function lay(place, html, tint, known) {
  const before = place.textContent;
  const open = [...place.querySelectorAll("details[id][open]")].map((one) => one.id);
  place.innerHTML = html;
  for (const one of open) document.getElementById(one)?.setAttribute("open", "");
  if (tint && (known || before !== place.textContent)) touched(place, before);
}

/** Lays what waits in here. */
function layIn(within) {
  for (const [id, html] of unlaid) {
    const place = held.get(id);
    if (!within.contains(place)) continue;
    unlaid.delete(id);
    lay(place, html, false);
  }
}

/** One piece at a time, so that no key press waits for what is closed. */
function whenIdle() {
  const ask = window.requestIdleCallback ?? ((act) => setTimeout(act, 50));
  ask(() => {
    const [id] = unlaid.keys();
    if (id === undefined) return;
    layIn(held.get(id));
    if (unlaid.size) idle = setTimeout(whenIdle, 0);
  });
}

// Before it opens by hand, and when it was opened by a search of the browser.
document.addEventListener("click", (event) => {
  const summary = event.target.closest?.("summary");
  if (summary) layIn(summary.parentElement);
});
document.addEventListener("toggle", (event) => layIn(event.target), true);

const still = matchMedia("(prefers-reduced-motion: reduce)");

/** What a change touched is tinted for a moment. Nothing is measured here: that would lay the page out once a piece. */
function touched(place, before) {
  if (still.matches || place.textContent === before || place.closest("details:not([open])")) return;
  place.classList.add("touched");
  clearTimeout(place.tint);
  place.tint = setTimeout(() => place.classList.remove("touched"), 900);
}

/** Whether a page shows what is typed and not saved. */
export function trial(on) {
  const word = document.querySelector(".trial-word");
  if (word) word.hidden = !on;
}

/** Says something to everybody, those who listen too. */
export function news(words) {
  const place = document.querySelector(".news");
  if (place) place.textContent = words;
}
