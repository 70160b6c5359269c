// The program page: lines lead to their step, the cycle is played, a dropped file is proven.

import { Section } from "./section.js";

const viewer = document.querySelector(".viewer");
const still = matchMedia("(prefers-reduced-motion: reduce)");

/** What is seen: the step, how far it is, whether it goes on by itself. */
class Player {
  constructor(told) {
    this.told = told;
    this.steps = told.steps;
    this.begin = this.steps[0].from;
    this.end = this.steps[this.steps.length - 1].to;
    this.at = this.begin;
    this.index = 0;
    this.playing = false;
    this.shown = -1;
    this.section = new Section(document.getElementById("section"), told);
    this.lines = new Map();
    this.steps.forEach((step, index) => {
      const id = `L${step.tree}-${step.line}`;
      if (!this.lines.has(id)) this.lines.set(id, index);
    });
    for (const id of this.lines.keys()) document.getElementById(id)?.classList.add("plays");
    this.paint();
  }

  get pace() {
    return Number(document.getElementById("pace").value);
  }

  /** To a time of the cycle. */
  seek(at) {
    this.at = Math.min(this.end, Math.max(this.begin, at));
    // Steps without time stand between others: of those that have ended the last is shown.
    let index = this.steps.findIndex((step) => step.to > this.at);
    this.index = index < 0 ? this.steps.length - 1 : index;
    this.paint();
  }

  /** To the end of a step. */
  step(index) {
    this.index = Math.min(this.steps.length - 1, Math.max(0, index));
    this.at = this.steps[this.index].to;
    this.paint(1);
  }

  share() {
    const { from, to } = this.steps[this.index];
    return to > from ? Math.min(1, Math.max(0, (this.at - from) / (to - from))) : 1;
  }

  paint(share = this.share()) {
    this.section.draw(this.index, share);
    const done = (this.at - this.begin) / Math.max(1e-9, this.end - this.begin);
    const head = document.getElementById("playhead");
    head?.setAttribute("x1", `${100 * done}%`);
    head?.setAttribute("x2", `${100 * done}%`);
    document.getElementById("scrub").value = Math.round(1000 * done);
    if (this.shown !== this.index) this.tell();
  }

  /** The step in words, its line marked. */
  tell() {
    this.shown = this.index;
    const step = this.steps[this.index];
    const [spindle, chuck, gripper] = step.stands;
    const words = [
      `Line ${step.line}: ${step.words}, ${(step.to - step.from).toFixed(2)} s.`,
      `Spindle ${spindle}, chuck ${chuck}, gripper ${gripper}` + (step.station ? `, station ${step.station}.` : "."),
    ];
    document.getElementById("now").textContent = words.join(" ");
    document.querySelector(".lines-of .here")?.classList.remove("here");
    const line = document.getElementById(`L${step.tree}-${step.line}`);
    if (!line) return;
    line.classList.add("here");
    const list = line.parentElement;
    const top = line.offsetTop - list.offsetTop;
    if (top < list.scrollTop + 20 || top > list.scrollTop + list.clientHeight - 60) list.scrollTop = top - list.clientHeight / 3;
  }

  play(on) {
    this.playing = on;
    const button = viewer.querySelector("[data-do=play]");
    button.textContent = on ? "Pause" : "Play";
    button.setAttribute("aria-pressed", String(on));
    if (!on) return;
    if (this.at >= this.end) this.seek(this.begin);
    let last = null;
    const tick = (now) => {
      if (!this.playing) return;
      if (last !== null) this.seek(this.at + this.pace * (now - last) / 1000);
      last = now;
      if (this.at >= this.end) return this.play(false);
      requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  }
}

const ACTS = {
  back: (player) => player.step(player.index - 1),
  on: (player) => player.step(player.index + 1),
  play: (player) => (still.matches ? player.step(player.index + 1) : player.play(!player.playing)),
  nearer: (player) => (player.section.zoom(1.5), player.paint()),
  farther: (player) => (player.section.zoom(1 / 1.5), player.paint()),
  whole: (player) => (player.section.whole(), (player.section.cut = null), player.paint()),
  follow: (player, button) => {
    player.section.follow = !player.section.follow;
    button.setAttribute("aria-pressed", String(player.section.follow));
    player.paint();
  },
};

const KEYS = { ArrowLeft: "back", ArrowRight: "on", " ": "play", "+": "nearer", "-": "farther", 0: "whole" };

function listen(player) {
  viewer.addEventListener("click", (event) => {
    const button = event.target.closest("[data-do]");
    if (button) ACTS[button.dataset.do](player, button);
    const step = event.target.closest("[data-step]");
    if (step) player.step(Number(step.dataset.step));
  });
  document.getElementById("scrub").addEventListener("input", (event) => {
    player.play(false);
    player.seek(player.begin + Number(event.target.value) / 1000 * (player.end - player.begin));
  });
  document.querySelector(".texts").addEventListener("click", (event) => {
    const index = player.lines.get(event.target.closest("li")?.id);
    if (index !== undefined) player.step(index);
  });
  const canvas = player.section.canvas;
  canvas.addEventListener("keydown", (event) => {
    const act = KEYS[event.key];
    if (!act) return;
    event.preventDefault();
    ACTS[act](player, viewer.querySelector(`[data-do=${act}]`));
  });
  canvas.addEventListener("wheel", (event) => {
    if (!event.ctrlKey && document.activeElement !== canvas) return;
    event.preventDefault();
    const box = canvas.getBoundingClientRect();
    player.section.zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height]);
    player.paint();
  }, { passive: false });
  canvas.addEventListener("pointermove", (event) => {
    if (!(event.buttons & 1)) return;
    player.section.shift(event.movementX / canvas.clientWidth, event.movementY / canvas.clientHeight);
    player.paint();
  });
  addEventListener("resize", () => {
    player.section.fit();
    player.paint();
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
    player.section.fit();
    player.paint();
  });
}

async function start() {
  const answer = await fetch(viewer.dataset.playback);
  const told = answer.ok ? await answer.json() : null;
  if (!told?.steps.length) {
    document.getElementById("now").textContent = "In this cycle nothing moves.";
    return;
  }
  const player = new Player(told);
  listen(player);
  viewer.dataset.ready = "yes";
  // For measuring from outside.
  viewer.player = player;
}
if (viewer) start();

// A program may be dropped anywhere on the page.
const own = document.querySelector(".own");
const text = document.getElementById("own-text");
addEventListener("dragover", (event) => {
  event.preventDefault();
  own?.classList.add("over");
});
addEventListener("dragleave", () => own?.classList.remove("over"));
addEventListener("drop", async (event) => {
  event.preventDefault();
  own?.classList.remove("over");
  const file = event.dataTransfer?.files[0];
  const dropped = file ? await file.text() : event.dataTransfer?.getData("text");
  if (!dropped) return;
  text.value = dropped;
  text.form.requestSubmit();
});
