// A page of a job: its blanks, undo and redo, and what others change.

import { behind, page, send, take } from "./fields.js";
import { news, trial } from "./pieces.js";
import "./ruler.js";

async function turn(way) {
  try {
    const told = await send(way, {});
    if (told.refused) news(`${told.refused}.`);
    else {
      trial(false);
      take(told);
      news(way === "undo" ? "Undone and saved." : "Made again and saved.");
    }
  } catch (error) {
    news(error.message);
  }
}

document.addEventListener("submit", (event) => {
  const way = event.target.querySelector("[data-turn]")?.dataset.turn;
  if (!way) return;
  event.preventDefault();
  turn(way);
});

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || document.activeElement?.dataset.typing) return;
  const key = event.key.toLowerCase();
  if (!document.querySelector(".turns")) return;
  const way = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
  if (!way) return;
  event.preventDefault();
  turn(way);
});

const told = new EventSource(`/told/${document.body.dataset.job}`);
told.addEventListener("changed", (event) => {
  if (Number(event.data) > page.revision) behind();
});
// Where bars are now is in the ruler.
told.addEventListener("moved", behind);
// After a break in the line something may have been missed.
let broken = false;
told.addEventListener("error", () => {
  broken = true;
  // The server answered, and let nobody in: the page as it is now says why.
  if (told.readyState === EventSource.CLOSED) location.reload();
});
told.addEventListener("open", () => {
  if (broken) behind();
  broken = false;
});
addEventListener("pagehide", () => told.close());
