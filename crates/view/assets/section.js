// The cross-section: bar, chuck and tool at one instant of a cycle, drawn on a canvas.
// z runs to the right, r up; the half that is known is mirrored at the axis.

const INK = ["ink", "quiet", "rule", "line", "touch", "stop", "sheet", "metal", "holder", "part", "next", "face", "jaws"];

/** The colors of the page's set. */
function inks() {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(INK.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
}

/** Where a tool stands on its way after this share of it. */
export function along(way, share) {
  if (way.length <= 2) return [way[0], way[1]];
  let whole = 0;
  for (let i = 2; i < way.length; i += 2) whole += Math.hypot(way[i] - way[i - 2], way[i + 1] - way[i - 1]);
  let left = whole * share;
  for (let i = 2; i < way.length; i += 2) {
    const length = Math.hypot(way[i] - way[i - 2], way[i + 1] - way[i - 1]);
    if (left <= length && length > 0) {
      const t = left / length;
      return [way[i - 2] + t * (way[i] - way[i - 2]), way[i - 1] + t * (way[i + 1] - way[i - 1])];
    }
    left -= length;
  }
  return [way[way.length - 2], way[way.length - 1]];
}

export class Section {
  constructor(canvas, told) {
    this.canvas = canvas;
    this.told = told;
    this.pen = canvas.getContext("2d");
    this.layer = document.createElement("canvas");
    this.paths = told.shapes.map((loops) => path(loops, true));
    this.edges = told.shapes.map((loops) => path(loops, true, true));
    this.chuck = told.chuck ? path(told.chuck, true) : null;
    this.colors = inks();
    this.follow = false;
    this.fit();
    this.whole();
  }

  /** All of the bar in front of the jaws, with room for the tool. */
  whole() {
    let [front, reach] = [5, 5];
    for (const loops of this.told.shapes) {
      for (const loop of loops) {
        for (let i = 0; i < loop.length; i += 2) {
          front = Math.max(front, loop[i]);
          reach = Math.max(reach, Math.abs(loop[i + 1]));
        }
      }
    }
    const jaw = this.told.jaw ?? -40;
    const length = front - jaw;
    // The tool is to be seen too, above a bar that is thin for its length.
    const high = 5.4 * reach * this.canvas.width / this.canvas.height;
    this.span = Math.max(1.3 * length, high);
    this.middle = [(jaw + front) / 2 + 0.1 * this.span, 0];
  }

  /** The canvas as large as it is shown, for sharp lines. */
  fit() {
    const ratio = window.devicePixelRatio || 1;
    const width = this.canvas.clientWidth || 640;
    this.canvas.width = Math.round(width * ratio);
    this.canvas.height = Math.round(Math.min(width * 0.62, Math.max(width * 0.3, 260)) * ratio);
    this.layer.width = this.canvas.width;
    this.layer.height = this.canvas.height;
    this.colors = inks();
    this.cut = null;
  }

  /** Nearer or farther about a place of the canvas, both as shares; the middle where none is given. */
  zoom(by, at = [0.5, 0.5]) {
    const before = this.place(at);
    this.span = Math.min(4000, Math.max(0.5, this.span / by));
    const after = this.place(at);
    this.middle = [this.middle[0] + before[0] - after[0], this.middle[1] + before[1] - after[1]];
    this.cut = null;
  }

  /** Moves what is seen by shares of the canvas. */
  shift(dx, dy) {
    this.middle[0] -= dx * this.span;
    this.middle[1] += dy * this.span * this.canvas.height / this.canvas.width;
    this.cut = null;
  }

  place([x, y]) {
    const high = this.span * this.canvas.height / this.canvas.width;
    return [this.middle[0] + (x - 0.5) * this.span, this.middle[1] - (y - 0.5) * high];
  }

  /** Puts the pen in millimeters. */
  ready(pen) {
    const scale = this.canvas.width / this.span;
    pen.setTransform(scale, 0, 0, -scale, this.canvas.width / 2 - this.middle[0] * scale, this.canvas.height / 2 + this.middle[1] * scale);
    return 1 / scale;
  }

  /** Draws a step after this share of it. */
  draw(index, share) {
    const step = this.told.steps[index];
    const tip = along(step.way, share);
    if (this.follow) {
      if (Math.hypot(this.middle[0] - tip[0], this.middle[1] - tip[1]) > 0.02 * this.span) this.cut = null;
      this.middle = [tip[0], tip[1]];
    }
    const { pen, colors } = this;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.fillStyle = colors.sheet;
    pen.fillRect(0, 0, this.canvas.width, this.canvas.height);
    this.bar(step, index, share, tip);
    const pixel = this.ready(pen);
    this.jaws(step, share, pixel);
    this.axis(pixel);
    this.way(step, pixel);
    this.tool(step, tip, pixel);
    this.scale();
  }

  /** The bar, with what the edge has swept so far taken off. */
  bar(step, index, share, tip) {
    const [before, after] = step.shape;
    if (before == null || after == null) return;
    const pen = this.layer.getContext("2d");
    const drawn = step.drawn ? tip[0] - step.way[0] : 0;
    const edge = step.tool == null ? [] : this.told.tools[step.tool].filter((one) => one.part === "edge");
    const cuts = before !== after && !step.drawn && edge.length > 0;
    const done = share >= 1 || before === after;
    // What was swept is kept from one picture to the next, so that each sweeps only what is new.
    const goes_on = this.cut && this.cut.index === index && this.cut.share <= share && cuts && !done;
    if (!goes_on) {
      pen.setTransform(1, 0, 0, 1, 0, 0);
      pen.clearRect(0, 0, this.layer.width, this.layer.height);
      const pixel = this.ready(pen);
      pen.translate(done ? 0 : drawn, 0);
      this.metal(pen, done ? after : before, pixel);
      this.tail(pen, done ? after : before, step.rear[done ? 1 : 0], pixel);
      this.cut = { index, share: 0 };
    }
    if (cuts && !done) this.sweep(pen, step, edge, this.cut.share, share);
    this.cut.share = share;
    this.pen.setTransform(1, 0, 0, 1, 0, 0);
    this.pen.drawImage(this.layer, 0, 0);
  }

  metal(pen, shape, pixel) {
    pen.fillStyle = this.colors.metal;
    pen.fill(this.paths[shape], "evenodd");
    pen.strokeStyle = this.colors.ink;
    pen.lineWidth = 1.2 * pixel;
    pen.stroke(this.edges[shape]);
  }

  /** The bar behind what is followed as a shape, to its rear end in the spindle. */
  tail(pen, shape, rear, pixel) {
    let [z, r] = [Infinity, 0];
    for (const loop of this.told.shapes[shape]) {
      for (let i = 0; i < loop.length; i += 2) z = Math.min(z, loop[i]);
    }
    for (const loop of this.told.shapes[shape]) {
      for (let i = 0; i < loop.length; i += 2) if (loop[i] === z) r = Math.max(r, loop[i + 1]);
    }
    if (rear == null || rear >= z) return;
    pen.fillRect(rear, -r, z - rear + pixel, 2 * r);
    pen.beginPath();
    pen.moveTo(z, r);
    pen.lineTo(rear, r);
    pen.lineTo(rear, -r);
    pen.lineTo(z, -r);
    pen.stroke();
  }

  sweep(pen, step, edge, from, to) {
    this.ready(pen);
    pen.globalCompositeOperation = "destination-out";
    const [start, end] = [along(step.way, from), along(step.way, to)];
    const length = Math.hypot(end[0] - start[0], end[1] - start[1]);
    const stamps = Math.min(400, Math.max(1, Math.ceil(length / (this.span / 900))));
    for (let i = 0; i <= stamps; i++) {
      const [z, r] = along(step.way, from + (to - from) * i / stamps);
      for (const side of [1, -1]) {
        pen.save();
        pen.scale(1, side);
        pen.translate(z, r);
        for (const one of edge) pen.fill(outline(one));
        pen.restore();
      }
    }
    pen.globalCompositeOperation = "source-over";
  }

  jaws(step, share, pixel) {
    if (!this.chuck) return;
    const { pen, colors } = this;
    const open = (step.open[0] ? 1 - share : 0) + (step.open[1] ? share : 0);
    for (const side of [1, -1]) {
      pen.save();
      pen.beginPath();
      pen.rect(-1e4, side > 0 ? 0 : -1e4, 2e4, 1e4);
      pen.clip();
      pen.translate(0, side * Math.min(1, open));
      pen.fillStyle = colors.jaws;
      pen.fill(this.chuck, "evenodd");
      pen.restore();
    }
    if (open > 0) {
      pen.strokeStyle = colors.stop;
      pen.lineWidth = 2 * pixel;
      pen.setLineDash([4 * pixel, 3 * pixel]);
      pen.stroke(this.chuck);
      pen.setLineDash([]);
    }
  }

  axis(pixel) {
    const { pen, colors } = this;
    pen.strokeStyle = colors.ink;
    pen.lineWidth = pixel;
    pen.setLineDash([14 * pixel, 4 * pixel, 3 * pixel, 4 * pixel]);
    pen.beginPath();
    pen.moveTo(this.middle[0] - this.span, 0);
    pen.lineTo(this.middle[0] + this.span, 0);
    pen.stroke();
    pen.setLineDash([]);
  }

  way(step, pixel) {
    if (step.way.length <= 2) return;
    const { pen, colors } = this;
    pen.strokeStyle = colors.stop;
    pen.lineWidth = 1.6 * pixel;
    if (step.rapid) pen.setLineDash([2 * pixel, 5 * pixel]);
    pen.beginPath();
    for (let i = 0; i < step.way.length; i += 2) pen.lineTo(step.way[i], step.way[i + 1]);
    pen.stroke();
    pen.setLineDash([]);
  }

  tool(step, tip, pixel) {
    const { pen, colors } = this;
    const fills = { edge: colors.part, gripper: colors.next, holder: colors.holder };
    const parts = step.tool == null ? [] : this.told.tools[step.tool];
    pen.save();
    pen.translate(tip[0], tip[1]);
    for (const name of ["holder", "gripper", "edge"]) {
      for (const one of parts.filter((part) => part.part === name)) {
        pen.fillStyle = fills[name];
        pen.strokeStyle = colors.ink;
        pen.lineWidth = pixel;
        pen.globalAlpha = name === "edge" ? 1 : 0.85;
        pen.fill(outline(one));
        pen.stroke(outline(one));
      }
    }
    pen.globalAlpha = 1;
    if (parts.length === 0) {
      pen.strokeStyle = colors.ink;
      pen.beginPath();
      pen.arc(0, 0, 4 * pixel, 0, 7);
      pen.stroke();
    }
    pen.restore();
  }

  /** A length to compare with, in the corner. */
  scale() {
    const { pen, colors, canvas } = this;
    const ratio = window.devicePixelRatio || 1;
    const unit = this.told.units === "in" ? 25.4 : 1;
    const want = this.span / 5 / unit;
    const power = 10 ** Math.floor(Math.log10(want));
    const step = [5, 2, 1].map((one) => one * power).find((one) => one <= want) ?? power;
    const width = step * unit * canvas.width / this.span;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    const [x, y] = [canvas.width - width - 14 * ratio, canvas.height - 12 * ratio];
    pen.fillStyle = colors.sheet;
    pen.fillRect(x - 6 * ratio, y - 22 * ratio, width + 12 * ratio, 28 * ratio);
    pen.strokeStyle = pen.fillStyle = colors.ink;
    pen.lineWidth = 1.5 * ratio;
    pen.beginPath();
    pen.moveTo(x, y - 5 * ratio);
    pen.lineTo(x, y);
    pen.lineTo(x + width, y);
    pen.lineTo(x + width, y - 5 * ratio);
    pen.stroke();
    pen.font = `${12 * ratio}px system-ui, sans-serif`;
    pen.fillText(`${+step.toPrecision(3)} ${this.told.units}`, x + 4 * ratio, y - 6 * ratio);
  }
}

/** Loops as a path, on both sides of the axis where wished; as lines, what lies on the axis or at its rear is none. */
function path(loops, both, lines = false) {
  const made = new Path2D();
  // The end behind the jaws is none: the bar goes on there.
  const rear = lines ? Math.min(...loops.flat().filter((_, index) => index % 2 === 0)) : 0;
  for (const side of both ? [1, -1] : [1]) {
    for (const loop of loops) {
      const count = loop.length / 2;
      made.moveTo(loop[0], side * loop[1]);
      for (let i = 1; i <= count; i++) {
        const [z, r, before] = [loop[2 * (i % count)], loop[2 * (i % count) + 1], loop[2 * i - 1]];
        const behind = loop[2 * i - 2] === rear && z === rear;
        if (lines && (behind || r === 0 && before === 0)) made.moveTo(z, side * r);
        else made.lineTo(z, side * r);
      }
      if (!lines) made.closePath();
    }
  }
  return made;
}

function outline(one) {
  one.path ??= path([one.points], false);
  return one.path;
}
