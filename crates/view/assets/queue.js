// What was told on this device and is not yet confirmed by the server. Each entry is kept under a key of its own, so
// that two tabs never write over each other; the id of an entry lets the server count it once, whoever sends it.

const PREFIX = "told ";
const LAST = "last told";
/** Entries in one request, and how long the server may take for it. */
const AT_ONCE = 20;
const PATIENCE = 10000;

/** 128 bits that no other entry has; `randomUUID` is not there on every address. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Every entry that is kept, in the order in which they were told: `{key, entry, says, refused}`. */
export function kept() {
  const all = [];
  for (let index = 0; index < localStorage.length; index++) {
    const key = localStorage.key(index);
    if (!key.startsWith(PREFIX)) continue;
    try {
      all.push({ key, ...JSON.parse(localStorage.getItem(key)) });
    } catch {
      // Not ours.
    }
  }
  return all.sort((one, other) => (one.key < other.key ? -1 : 1));
}

let last = 0;

/** Keeps an entry on this device; throws where the device has no room. */
export function keep(entry, says) {
  // Two taps of one millisecond stay in their order.
  last = Math.max(last + 1, Date.now());
  const at = Number(entry.at ?? Date.now());
  const told = { entry: { ...entry, id: newId(), at }, says };
  localStorage.setItem(`${PREFIX}${String(last).padStart(15, "0")} ${told.entry.id}`, JSON.stringify(told));
  return told;
}

export function forget(key) {
  localStorage.removeItem(key);
}

let sending = null;

/** Sends what waits, one request after the other. Gives "sent", "waiting" (no answer) or "stale" (the page is older than the server). */
export function send(token) {
  sending ??= sendAll(token).finally(() => (sending = null));
  return sending;
}

async function sendAll(token) {
  for (;;) {
    const waiting = kept().filter((one) => !one.refused).slice(0, AT_ONCE);
    if (waiting.length === 0) return "sent";
    let answer;
    try {
      answer = await fetch("/record", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({
          token,
          sent: Date.now(),
          behind: localStorage.getItem(LAST) ?? "",
          entries: waiting.map((one) => one.entry),
        }),
        signal: AbortSignal.timeout(PATIENCE),
      });
      if (answer.status === 403) return "stale";
      if (!answer.ok) return "waiting";
      answer = await answer.json();
    } catch {
      return "waiting";
    }
    if (!settle(waiting, answer.answers ?? [])) return "waiting";
  }
}

/** What became of each: confirmed ones go, refused ones stay with their reason. Whether one may go on. */
function settle(waiting, answers) {
  let on = answers.length > 0;
  for (const one of waiting) {
    const answer = answers.find((answer) => answer.id === one.entry.id);
    if (!answer || answer.later) {
      on = false;
    } else if (answer.became === "refused") {
      // Another tab may have taken it out meanwhile.
      if (localStorage.getItem(one.key) === null) continue;
      const { why, mend } = answer;
      localStorage.setItem(one.key, JSON.stringify({ entry: one.entry, says: one.says, refused: { why, mend } }));
    } else {
      localStorage.setItem(LAST, one.entry.id);
      forget(one.key);
    }
  }
  return on;
}
