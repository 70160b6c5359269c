// What a shape of a picture says: under the pointer or finger, and by the arrow keys.

const REACH = 28;
const pictures = ".chart svg";

/** Shapes that say something, from left to right. */
const shapes = (svg) => [...svg.querySelectorAll("title")].map((title) => title.parentNode).filter((one) => one !== svg);

const middle = (shape) => {
  const box = shape.getBoundingClientRect();
  return { x: box.left + box.width / 2, y: box.top + box.height / 2, size: Math.max(box.width, box.height) };
};

function say(svg, shape) {
  const place = svg.closest(".chart").querySelector(".shape-says");
  svg.querySelector(".said")?.classList.remove("said");
  shape?.classList.add("said");
  place.textContent = shape?.querySelector("title").textContent ?? "";
}

/** The small shape that is nearest to a place, else the one that lies there. */
function at(svg, x, y) {
  let near = null;
  let least = REACH;
  for (const shape of shapes(svg)) {
    const place = middle(shape);
    const off = Math.hypot(place.x - x, place.y - y);
    if (place.size < 2 * REACH && off < least) [near, least] = [shape, off];
  }
  const under = document.elementFromPoint(x, y)?.closest("rect, path");
  return near ?? (under && svg.contains(under) && under.querySelector("title") ? under : null);
}

for (const kind of ["pointermove", "pointerdown"]) {
  document.addEventListener(kind, (event) => {
    const svg = event.target.closest?.(pictures);
    if (svg) say(svg, at(svg, event.clientX, event.clientY));
  });
}

document.addEventListener("keydown", (event) => {
  const svg = event.target;
  const steps = { ArrowRight: 1, ArrowLeft: -1, Home: -Infinity, End: Infinity };
  if (!svg.matches?.(pictures) || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Escape") return say(svg, null);
  if (!(event.key in steps)) return;
  event.preventDefault();
  const all = shapes(svg).map((shape) => [shape, middle(shape).x]).sort((one, other) => one[1] - other[1]).map(([shape]) => shape);
  if (!all.length) return;
  const here = all.indexOf(svg.querySelector(".said"));
  const to = here < 0 ? (event.key === "ArrowLeft" || event.key === "End" ? all.length - 1 : 0) : here + steps[event.key];
  const shape = all[Math.min(Math.max(to, 0), all.length - 1)];
  say(svg, shape);
  shape.scrollIntoView({ block: "nearest", inline: "nearest" });
});
