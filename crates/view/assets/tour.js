// The first way through the pages: which step one is at stays on this device until the last one or until it is ended.

const KEY = "barwright-first-way";

function kept() {
  try {
    return JSON.parse(localStorage.getItem(KEY));
  } catch {
    return null;
  }
}

function keep(at) {
  try {
    at ? localStorage.setItem(KEY, JSON.stringify(at)) : localStorage.removeItem(KEY);
  } catch {
    // A device that keeps nothing goes without: the page with all steps has links too.
  }
}

const begin = document.querySelector("[data-tour=begin]");
if (begin) {
  begin.hidden = false;
  begin.addEventListener("click", () => {
    const steps = [...document.querySelectorAll(".steps li")].map((one) => ({
      title: one.querySelector("a").textContent,
      words: one.querySelector("p").textContent,
      to: one.querySelector("a").getAttribute("href"),
    }));
    go({ steps, step: 0 });
  });
}

function go(at) {
  keep(at);
  const here = location.pathname;
  location.href = at.steps[at.step].to;
  // The same page with another place in it is not loaded anew.
  if (new URL(location.href).pathname === here) show();
}

function made(name, words, act) {
  const one = document.createElement(name);
  one.textContent = words;
  if (act) {
    one.type = "button";
    one.addEventListener("click", act);
  }
  return one;
}

/** The step one is at, on a strip below the page. */
function show() {
  document.querySelector(".tour")?.remove();
  const at = kept();
  const step = at?.steps?.[at.step];
  if (!step) return;
  const strip = document.createElement("aside");
  strip.className = "tour";
  strip.setAttribute("aria-label", "A first way through");
  const ways = document.createElement("p");
  const elsewhere = new URL(step.to, location.href).pathname !== location.pathname;
  if (elsewhere) ways.append(made("button", "To this step", () => go(at)), " ");
  if (at.step > 0) ways.append(made("button", "Back", () => go({ ...at, step: at.step - 1 })), " ");
  if (at.step + 1 < at.steps.length) ways.append(made("button", "Next", () => go({ ...at, step: at.step + 1 })), " ");
  ways.append(made("button", at.step + 1 < at.steps.length ? "End" : "Done", () => {
    keep(null);
    strip.remove();
  }));
  strip.append(made("h2", `${at.step + 1} of ${at.steps.length} · ${step.title}`), made("p", step.words), ways);
  document.querySelector(".foot").before(strip);
}

show();
