// Blanks: what is typed is tried at once, and saved when the blank is left or Enter is pressed.

import { has, news, put, trial } from "./pieces.js";

const { token, job, here } = document.body.dataset;
export const page = { revision: Number(document.body.dataset.revision) };

const REFUSED = {
  401: "This device is not known here any more: load this page again.",
  403: "The server was started anew, or this device may do less now: load this page again.",
  429: "This device asks too often: wait a little.",
};

/** Sends something; the answer as an object. */
export async function send(way, said) {
  const answer = await fetch(`/${way}/${job}`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ token, here, has: has(), ...said }),
  });
  if (!answer.ok) throw new Error(REFUSED[answer.status] ?? `The server answered ${answer.status}.`);
  return answer.json();
}

/** Takes an answer in: pieces, values, news. */
export function take(told) {
  // What another answer put in meanwhile is not what this one went by.
  if (told.pieces && !put(told.pieces, true, told.digests)) behind();
  if (told.revision) {
    const stale = document.querySelector(".stale");
    if (stale && told.revision > page.revision) stale.hidden = false;
    page.revision = told.revision;
  }
  if (told.values) {
    values(told.values);
    for (const picture of document.querySelectorAll(".picture img")) picture.src = `${picture.src.split("?")[0]}?${page.revision}`;
  }
  if (told.news) news(told.news);
}

/** The value of every blank as the files have it, but for the one that is being typed in. */
function values(all) {
  for (const [file, key, value] of all) {
    const entry = document.getElementById(`${file}:${key}`);
    if (!entry || entry === document.activeElement && entry.dataset.typing) continue;
    entry.value = value ?? "";
    if (!entry.form) continue;
    entry.dataset.saved = entry.value;
    state(entry.form, "");
  }
}

function state(blank, name, words = "") {
  blank.classList.remove("trial", "wrong", "conflict");
  if (name) blank.classList.add(name);
  blank.querySelector(".refused").replaceChildren(words);
  blank.querySelector("[name=value]").setAttribute("aria-invalid", String(name === "wrong"));
}

let asked = 0;
let busy = false;
let waiting = null;

/** One request at a time; of those that wait only the newest is sent. */
async function ask(entry, save) {
  if (busy) {
    if (!waiting || save || !waiting.save) waiting = { entry, save };
    return;
  }
  busy = true;
  const number = ++asked;
  const [file, key] = entry.id.split(":");
  const value = entry.value;
  performance.mark(`asked-${number}`);
  try {
    const told = await send("change", { file, key, value, save, was: entry.dataset.saved });
    shown(entry, told, save, value);
    performance.mark(`shown-${number}`);
    performance.measure("change", `asked-${number}`, `shown-${number}`);
  } catch (error) {
    state(entry.form, "wrong", error.message);
  }
  busy = false;
  const next = waiting;
  waiting = null;
  if (next) ask(next.entry, next.save);
}

function shown(entry, told, save, value) {
  // What two changed at once waits for a person.
  if (!save && entry.form.classList.contains("conflict") && entry.value === value) return;
  if (told.conflict) return conflict(entry, told.conflict, value);
  if (told.refused) {
    state(entry.form, "wrong", [told.refused, told.mend].filter(Boolean).map(sentence).join(" "));
    return;
  }
  if (save) {
    delete entry.dataset.typing;
    entry.dataset.saved = value;
    trial(false);
    state(entry.form, "");
  } else if (entry.dataset.typing) {
    trial(true);
    state(entry.form, "trial");
  }
  take(told);
}

const sentence = (words) => (words[0].toUpperCase() + words.slice(1)).replaceAll("`", "").replace(/([^.!?])$/, "$1.");

/** Two changes of one figure: both are shown, and a person decides. */
function conflict(entry, { disk, file }, value) {
  state(entry.form, "conflict");
  const says = `${file} was changed on the disk. It says ${disk ?? "nothing"} now; you wrote ${value}. `;
  const keep = button(`keep ${disk ?? "nothing"}`, () => {
    entry.value = entry.dataset.saved = disk ?? "";
    delete entry.dataset.typing;
    state(entry.form, "");
    trial(false);
    behind();
  });
  const write = button(`write ${value}`, () => {
    entry.dataset.saved = disk ?? "";
    ask(entry, true);
  });
  entry.form.querySelector(".refused").replaceChildren(says, keep, " ", write);
}

function button(words, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}

/** Gets the pieces as they are now. */
export async function behind() {
  const answer = await fetch(`/pieces/${job}?${new URLSearchParams({ here, has: has() })}`);
  if (answer.ok) take(await answer.json());
  // What is being typed is tried on top of what others changed.
  const typing = document.querySelector(".blank:not(.conflict) [data-typing]");
  if (typing) ask(typing, false);
}

for (const entry of document.querySelectorAll(".blank [name=value]")) entry.dataset.saved = entry.value;

document.addEventListener("input", (event) => {
  const entry = event.target;
  if (!entry.matches(".blank [name=value]")) return;
  entry.dataset.typing = "yes";
  ask(entry, entry.tagName === "SELECT");
});
document.addEventListener("change", (event) => {
  const entry = event.target;
  if (!entry.matches(".blank [name=value]") || entry.value === entry.dataset.saved) return;
  if (!entry.form.classList.contains("conflict")) ask(entry, true);
});
document.addEventListener("submit", (event) => {
  if (!event.target.matches(".blank")) return;
  event.preventDefault();
  const entry = event.target.querySelector("[name=value]");
  if (entry.value !== entry.dataset.saved) ask(entry, true);
});
document.addEventListener("keydown", (event) => {
  const entry = event.target;
  if (event.key !== "Escape" || !entry.matches?.(".blank [name=value]")) return;
  entry.value = entry.dataset.saved;
  delete entry.dataset.typing;
  state(entry.form, "");
  trial(false);
  behind();
});
