// The pages of the shop: lanes by pointer and arrows, what is tried, and what is told while the page is open.

import { has, news, put, trial } from "./pieces.js";

const page = location.pathname === "/shop" ? "/shop" : "/visits";
const ask = document.getElementById("ask");
let asked = location.search;

/** Every stretch leads where the one leads that stands in the order of the keyboard. */
function lead() {
  for (const one of document.querySelectorAll(".worn a:not([href])")) {
    one.setAttribute("href", one.parentNode.querySelector("a[href]").getAttribute("href"));
    one.tabIndex = -1;
  }
}
lead();

/** What a stretch says stands above the lanes while it is pointed at or has the keyboard. */
function says(event) {
  const stretch = event.target.closest?.(".worn a");
  if (!stretch) return;
  for (const place of document.querySelectorAll(".lane-says")) place.textContent = `${stretch.getAttribute("aria-label")}.`;
}
document.addEventListener("pointerover", says);
document.addEventListener("focusin", says);

// Arrows go along a lane, and up and down to the one beside at about the same time.
document.addEventListener("keydown", (event) => {
  const here = event.target.closest?.(".worn a");
  if (!here || event.ctrlKey || event.altKey || event.metaKey) return;
  const lane = [...here.parentNode.querySelectorAll("a")];
  const along = { ArrowLeft: lane.indexOf(here) - 1, ArrowRight: lane.indexOf(here) + 1, Home: 0, End: lane.length - 1 };
  let to = lane[along[event.key]];
  if (event.key === "ArrowUp" || event.key === "ArrowDown") {
    const lanes = [...document.querySelectorAll(".worn")];
    const other = lanes[lanes.indexOf(here.parentNode) + (event.key === "ArrowUp" ? -1 : 1)];
    const middle = (one) => { const box = one.getBoundingClientRect(); return box.left + box.width / 2; };
    const near = (one) => Math.abs(middle(one) - middle(here));
    to = other && [...other.querySelectorAll("a")].reduce((best, one) => (near(one) < near(best) ? one : best));
  }
  if (!to) return;
  event.preventDefault();
  for (const one of to.parentNode.querySelectorAll("a")) one.tabIndex = one === to ? 0 : -1;
  to.focus();
});

/** Which stretch of which lane this is, since lanes are put in anew. */
function stretch(here) {
  const lane = here?.closest?.(".worn");
  return lane && [[...document.querySelectorAll(".worn")].indexOf(lane), [...lane.querySelectorAll("a")].indexOf(here)];
}

/** What is filled in stays, as far as it is still offered, and so does the keyboard. */
function putKeeping(pieces, digests) {
  const place = pieces.offered === undefined ? null : document.querySelector("[data-piece=offered]");
  const blanks = () => [...(place?.querySelectorAll("input, select") ?? [])];
  const kept = new Map(blanks().map((one) => [one.id, one.value]));
  const at = place?.contains(document.activeElement) ? document.activeElement.id : "";
  put(pieces, true, digests);
  lead();
  let less = false;
  for (const one of blanks()) {
    const value = kept.get(one.id) ?? one.value;
    if (one.tagName !== "SELECT" || [...one.options].some((option) => option.value === value)) one.value = value;
    less ||= one.value !== value;
  }
  if (at) document.getElementById(at)?.focus();
  if (less) tried();
}

let busy = false;
let again = false;

/** Gets the pieces as they are now; while a timetable is looked for the server says when it is there. */
async function look() {
  if (busy) return void (again = true);
  busy = true;
  try {
    const wanted = new URLSearchParams(asked);
    wanted.set("has", has());
    const answer = await fetch(`${page}/pieces?${wanted}`);
    // Where a shop file came or went, the whole page is another.
    if (answer.status === 404) location.reload();
    if (answer.ok) {
      let at = stretch(document.activeElement);
      const { pieces, digests } = await answer.json();
      // While another timetable is looked for, the last one stays in sight.
      if (pieces["as-of"]?.includes('class="looks"') && !document.querySelector(".looks")) at = null;
      else putKeeping(pieces, digests);
      if (at) document.querySelectorAll(".worn")[at[0]]?.querySelectorAll("a")[at[1]]?.focus();
    }
  } catch {
    news("The server does not answer.");
  } finally {
    busy = false;
  }
  if (again) {
    again = false;
    look();
  }
}

/** What the blanks ask for, without those that are empty. */
function wanted() {
  const said = new URLSearchParams(new FormData(ask));
  for (const [key, value] of [...said]) if (!value) said.delete(key);
  return said;
}

function tried() {
  const said = wanted();
  asked = `?${said}`;
  history.replaceState(null, "", page + asked);
  trial(["one_more", "without", "bar", "spans", "start"].some((key) => said.has(key)));
  look();
}

if (ask) {
  document.addEventListener("change", (event) => event.target.form === ask && tried());
  ask.addEventListener("submit", (event) => {
    event.preventDefault();
    tried();
  });
}

const told = new EventSource("/shop/told");
told.addEventListener("changed", () => {
  if (document.querySelector("[data-piece]")) look();
  // What a person has typed is not swept away.
  else if (![...document.querySelectorAll("input")].some((one) => one.value !== one.defaultValue)) location.reload();
});
// What was told before the line stood, or while it was broken, was missed.
told.addEventListener("open", () => document.querySelector("[data-piece]") && look());
told.addEventListener("error", () => {
  // The server answered, and let nobody in: the page as it is now says why.
  if (told.readyState === EventSource.CLOSED) location.reload();
});
addEventListener("pagehide", () => told.close());
// Where we are now moves on.
if (page === "/shop") setInterval(look, 60_000);
