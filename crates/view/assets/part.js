// The page of a part: a feature and its stretch of the drawing light up together, and a feature that is being typed in
// is drawn before it is saved.

import { send } from "./fields.js";
import { put, trial } from "./pieces.js";

/** Lights up one feature, or none. */
function light(at) {
  for (const lit of document.querySelectorAll(".lit")) lit.classList.remove("lit");
  if (at === undefined) return;
  for (const one of document.querySelectorAll(`[data-feature="${at}"]`)) one.classList.add("lit");
}

for (const [begin, end] of [["focusin", "focusout"], ["pointerover", "pointerout"]]) {
  document.addEventListener(begin, (event) => light(event.target.closest?.("[data-feature]")?.dataset.feature));
  document.addEventListener(end, () => light(document.activeElement?.closest("[data-feature]")?.dataset.feature));
}

// On a narrow screen the part comes first, not the room beside it.
for (const frame of document.querySelectorAll(".part .picture")) frame.scrollLeft = (frame.scrollWidth - frame.clientWidth) / 2;

const form = document.querySelector("form.keys");
let asked = 0;

/** The feature as it is typed so far, drawn; what cannot be is told. */
async function tried() {
  const number = ++asked;
  const keys = Object.fromEntries([...new FormData(form)].filter(([, typed]) => typed !== ""));
  const told = await send("feature", { ...keys, save: false });
  if (number !== asked) return;
  const refused = form.querySelector(".refused");
  refused.replaceChildren(told.refused ? [told.refused, told.mend].filter(Boolean).join(": ") : "");
  trial(!told.refused);
  const drawn = told.pieces?.["part-drawn"];
  if (drawn) put({ "part-drawn": drawn }, true, { "part-drawn": told.digests["part-drawn"] });
}

form?.addEventListener("input", () => {
  if (form.checkValidity()) tried().catch((error) => form.querySelector(".refused").replaceChildren(error.message));
});
