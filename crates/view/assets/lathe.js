// The page at a lathe: what is tapped is kept on this device first and sent then, so that no entry hangs on the
// network. What the server refuses stays here with its reason until a person decides.

import { anew } from "./live.js";
import { news } from "./pieces.js";
import { forget, keep, kept, send } from "./queue.js";

const lathe = document.querySelector("main").dataset.lathe;
const waiting = document.querySelector(".waiting");
const list = waiting.querySelector("ol");
const AGAIN = 4000;

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (new URL(form.action).pathname !== "/record") return;
  const data = new FormData(form, event.submitter);
  const entry = {};
  for (const [key, value] of data) {
    if (key !== "token" && key !== "id" && value.trim() !== "") entry[key] = value.trim();
  }
  if (form.dataset.at) entry.at = Number(form.dataset.at);
  try {
    keep(entry, says(form, event.submitter, entry));
  } catch {
    // No room on this device: the form goes to the server as without a script.
    return;
  }
  event.preventDefault();
  delete form.dataset.at;
  form.reset();
  form.closest("details.tell")?.removeAttribute("open");
  show();
  flush(true);
});

/** An entry in words: its sentence, and what was filled in where one sees it. */
function says(form, button, entry) {
  const blanks = [...form.querySelectorAll(".blank input, .blank select")].filter((one) => entry[one.name]);
  const words = blanks.map((one) => (one.matches("select") ? one.selectedOptions[0].textContent.trim() : one.value.trim()));
  const chosen = button?.name ? [button.textContent.trim()] : [];
  const all = [...words, ...chosen].filter((word) => word !== "");
  return all.length > 0 ? `${form.dataset.says}: ${all.join(", ")}` : form.dataset.says;
}

/** What is not yet confirmed; each with its time, and with its reason where it was refused. */
function show() {
  const all = kept();
  waiting.hidden = all.length === 0;
  list.replaceChildren(...all.map(line));
}

function line(one) {
  const item = document.createElement("li");
  const time = new Date(one.entry.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const elsewhere = one.entry.lathe && one.entry.lathe !== lathe ? `${one.entry.lathe}: ` : "";
  item.append(text("p", `${time}  ${elsewhere}${one.says}`));
  if (!one.refused) {
    item.append(text("p", "waits", "state-of"));
    return item;
  }
  item.className = "refused-entry";
  item.append(text("p", `Refused: ${one.refused.why}. → ${one.refused.mend}.`, "why-refused"));
  // The form is looked for when it is needed: pieces of the page are put in anew meanwhile.
  if (formOf(one.entry) && one.entry.lathe === lathe) item.append(button("Mend it", () => mend(one, formOf(one.entry))));
  item.append(button("Take it out", () => {
    forget(one.key);
    show();
  }));
  return item;
}

function text(kind, words, name = "") {
  const element = document.createElement(kind);
  element.textContent = words;
  element.className = name;
  return element;
}

function button(words, act) {
  const element = text("button", words);
  element.type = "button";
  element.addEventListener("click", act);
  return element;
}

/** The form that an entry came from. */
function formOf(entry) {
  const value = (form, name) => form.elements.namedItem(name)?.value;
  const forms = [...document.querySelectorAll("details.tell form")].filter((form) => value(form, "event") === entry.event);
  return forms.find((form) => entry.feature && value(form, "feature") === entry.feature) ?? forms.at(-1);
}

/** Back into its blanks, with its own time. */
function mend(one, form) {
  form.closest("details").open = true;
  form.dataset.at = one.entry.at;
  for (const [key, value] of Object.entries(one.entry)) {
    const blank = form.elements.namedItem(key);
    if (blank && !(blank instanceof RadioNodeList) && blank.type !== "hidden" && blank.type !== "submit") blank.value = value;
  }
  forget(one.key);
  show();
  form.querySelector(".blank input, .blank select, button")?.focus();
}

let again = 0;

/** Sends what waits, and says what became of it. */
async function flush(tapped = false) {
  clearTimeout(again);
  const before = kept().filter((one) => !one.refused).length;
  if (before === 0) return;
  let became = await send(document.body.dataset.token);
  // The server was started anew: its page has another token.
  if (became === "stale" && (await anew())) became = await send(document.body.dataset.token);
  show();
  const left = kept();
  const [waits, refused] = [left.filter((one) => !one.refused).length, left.filter((one) => one.refused).length];
  if (waits > 0) {
    news(`The server cannot be reached. ${waits === 1 ? "One entry is" : `${waits} entries are`} kept on this device and sent as soon as it can.`);
    again = setTimeout(flush, AGAIN);
  } else {
    news(refused > 0 ? "Not everything was taken: see below what can be tapped." : tapped || before > 0 ? "Recorded." : "");
    anew();
  }
}

addEventListener("storage", show);
addEventListener("online", () => flush());
addEventListener("reached", () => flush());
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) flush();
});

/** Keeps the page itself openable without the server, where the browser lets it. */
async function keepPage() {
  const keeps = document.getElementById("keeps");
  const entries = "Entries are kept on this device until the server has them.";
  if (!("serviceWorker" in navigator)) {
    keeps.textContent = `${entries} This page itself cannot be opened without the server: browsers allow that on this computer or over TLS only. Leave it open.`;
    return;
  }
  try {
    await navigator.serviceWorker.register("/worker.js");
    await navigator.serviceWorker.ready;
    const ours = performance.getEntriesByType("resource").map((one) => one.name);
    const assets = ours.filter((name) => new URL(name).pathname.startsWith("/assets/"));
    // The name is that of worker.js.
    await (await caches.open("lathe-pages-1")).addAll([location.href, ...new Set(assets)]);
    keeps.textContent = `${entries} This page can be opened without the server too; it shows then what stood when it was last there.`;
    keeps.dataset.ready = "yes";
  } catch {
    keeps.textContent = `${entries} This browser does not keep the page itself: leave it open.`;
  }
}

show();
flush();
keepPage();
