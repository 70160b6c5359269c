// Puts pieces of a page in anew, only those that differ, and says which were touched.

const held = new Map();
for (const place of document.querySelectorAll("[data-piece]")) held.set(place.dataset.piece, place);
const last = new Map();

/** Every piece that differs is put in; what stood open stays open. What only time has changed is not tinted. */
export function put(pieces, tint = true) {
  for (const [id, html] of Object.entries(pieces)) {
    const place = held.get(id);
    if (!place || last.get(id) === html) continue;
    const known = last.has(id);
    last.set(id, html);
    const before = place.textContent;
    const open = [...place.querySelectorAll("details[id][open]")].map((one) => one.id);
    place.innerHTML = html;
    for (const one of open) document.getElementById(one)?.setAttribute("open", "");
    if (tint && (known || before !== place.textContent)) touched(place, before);
  }
}

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
