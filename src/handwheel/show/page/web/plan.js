// Plan and end view have one kind of paper: millimetres across and up, fitted into a canvas.

class Paper {
  constructor(canvas, low, high, room = 0) {
    this.canvas = canvas;
    this.ink = canvas.getContext("2d");
    this.room = room;
    this.low = low;
    this.high = high;
  }

  /** Clears the paper and fits the view's frame to it, `room` pixels kept free on the left; `sharp` pixels for one of the page. */
  begin(sharp) {
    const { clientWidth, clientHeight } = this.canvas;
    const width = Math.max(1, Math.round(clientWidth * sharp));
    const height = Math.max(1, Math.round(clientHeight * sharp));
    if (this.canvas.width !== width || this.canvas.height !== height) Object.assign(this.canvas, { width, height });
    this.sharp = sharp;
    this.ink.setTransform(sharp, 0, 0, sharp, 0, 0);
    this.ink.clearRect(0, 0, clientWidth, clientHeight);
    const [w, h] = [this.high[0] - this.low[0], this.high[1] - this.low[1]];
    this.scale = Math.min((clientWidth - 8 - this.room) / w, (clientHeight - 8) / h);
    this.left = this.room + (clientWidth - this.room - this.scale * w) / 2;
    this.top = (clientHeight - this.scale * h) / 2;
  }

  x(across) {
    return this.left + (across - this.low[0]) * this.scale;
  }

  y(up) {
    return this.top + (this.high[1] - up) * this.scale;
  }

  /** Millimetres under a place of the canvas. */
  place(x, y) {
    return [(x - this.left) / this.scale + this.low[0], this.high[1] - (y - this.top) / this.scale];
  }

  line(points, width, dash = [], colour = INK) {
    const ink = this.ink;
    ink.beginPath();
    points.forEach(([x, y], i) => (i ? ink.lineTo(this.x(x), this.y(y)) : ink.moveTo(this.x(x), this.y(y))));
    ink.lineWidth = width;
    ink.strokeStyle = colour;
    ink.setLineDash(dash);
    ink.stroke();
    ink.setLineDash([]);
  }

  box(low, high, width, dash = [], fill = null) {
    if (fill) {
      this.ink.fillStyle = fill;
      this.ink.fillRect(this.x(low[0]), this.y(high[1]), (high[0] - low[0]) * this.scale, (high[1] - low[1]) * this.scale);
    }
    this.line([low, [high[0], low[1]], high, [low[0], high[1]], low], width, dash);
  }

  shape(points, fill, width) {
    const ink = this.ink;
    ink.beginPath();
    points.forEach(([x, y], i) => (i ? ink.lineTo(this.x(x), this.y(y)) : ink.moveTo(this.x(x), this.y(y))));
    ink.closePath();
    ink.fillStyle = fill;
    ink.fill();
    ink.lineWidth = width;
    ink.strokeStyle = INK;
    ink.stroke();
  }

  /** Words on white, so that lines do not run through them. */
  words(text, x, y, { align = "center", size = 12, bold = false } = {}) {
    const ink = this.ink;
    ink.font = `${bold ? "bold " : ""}${size}px ${FONT}`;
    ink.textAlign = align;
    ink.textBaseline = "middle";
    const width = ink.measureText(text).width + 4;
    const left = align === "center" ? x - width / 2 : align === "right" ? x - width + 2 : x - 2;
    ink.fillStyle = "rgba(255, 255, 255, 0.85)";
    ink.fillRect(left, y - size / 2 - 1, width, size + 2);
    ink.fillStyle = INK;
    ink.fillText(text, x, y);
  }

  /** A number in a circle; the circle has the step's colour. */
  balloon(text, x, y, colour, strong) {
    const ink = this.ink;
    ink.font = `bold 11px ${FONT}`;
    const radius = Math.max(9, ink.measureText(text).width / 2 + 4);
    ink.beginPath();
    ink.arc(x, y, radius, 0, 2 * Math.PI);
    ink.fillStyle = "#fff";
    ink.fill();
    ink.lineWidth = strong ? 3 : 1.75;
    ink.strokeStyle = colour;
    ink.stroke();
    ink.fillStyle = INK;
    ink.textAlign = "center";
    ink.textBaseline = "middle";
    ink.fillText(text, x, y + 0.5);
    return radius;
  }
}

const FONT = 'Bahnschrift, "DIN Alternate", "Liberation Sans", Arial, sans-serif';
const CHAIN = [12, 3, 2, 3, 2, 3];
const HIDDEN = [5, 3];
const RAPID = [3, 3];

/** From above: the part by step, the passes, the jaws, the cutter. */
class PlanView {
  constructor(canvas) {
    this.paper = new Paper(canvas, ...this.frame());
    this.cells = document.createElement("canvas");
    this.passes = new Map();
  }

  /** The work and every place to which a cutter is fed, with a little room. */
  frame() {
    const [low, high] = facts.boxes.work.map((corner) => corner.slice(0, 2));
    for (const route of Object.values(facts.routes)) {
      for (const move of route.moves.filter(([kind]) => kind === 1 || kind === ARC)) {
        for (const k of [0, 1]) {
          low[k] = Math.min(low[k], move[1 + k], move[4 + k]);
          high[k] = Math.max(high[k], move[1 + k], move[4 + k]);
        }
      }
    }
    return [low.map((value) => value - 6), high.map((value) => value + 6)];
  }

  /** The passes of a route: level paths at feed, by step and number. */
  passesOf(route) {
    if (!this.passes.has(route)) {
      const found = new Map();
      route.moves.forEach((move, row) => {
        const [kind, x0, y0, , x1, y1] = move;
        const step = route.stepOfRow[row];
        if ((kind !== 1 && kind !== ARC) || (kind === 1 && x0 === x1 && y0 === y1)) return;
        const key = `${step}.${route.strokeOfRow[row]}`;
        if (!found.has(key)) found.set(key, { step, stroke: route.strokeOfRow[row], row, paths: [] });
        const pieces = kind === ARC ? 32 : 1;
        const path = Array.from({ length: pieces + 1 }, (_, i) => pointOn(move, i / pieces).slice(0, 2));
        found.get(key).paths.push(path);
      });
      this.passes.set(route, [...found.values()]);
    }
    return this.passes.get(route);
  }

  draw({ metal, route, tip, tool, step, stroke, sharp }) {
    const paper = this.paper;
    paper.begin(sharp);
    for (const jaw of [facts.boxes.fixedJaw, facts.boxes.movableJaw]) paper.box(jaw[0], jaw[1], 0.8, CHAIN);
    this.work(metal);
    const passes = this.passesOf(route);
    for (const pass of passes) {
      const now = pass.step === step && (stroke === 0 || pass.stroke === stroke);
      for (const path of pass.paths) paper.line(path, now ? 2.6 : 1.1, [], colourOf(pass.step));
    }
    if (tool) this.cutter(tip, tool);
    this.numbers(passes, step);
    this.findings(route);
  }

  work(metal) {
    if (this.drawn !== metal || this.version !== metal.version) this.paint(metal);
    [this.drawn, this.version] = [metal, metal.version];
    const { low, high } = metal;
    const paper = this.paper;
    paper.ink.imageSmoothingEnabled = false;
    paper.ink.drawImage(
      this.cells, paper.x(low[0]), paper.y(high[1]), (high[0] - low[0]) * paper.scale, (high[1] - low[1]) * paper.scale,
    );
    paper.box(low, high, 1.6);
  }

  /** The part's cells as a small picture: each step's tone, ink between two steps. */
  paint(metal) {
    const { nx, ny, z, step, low } = metal;
    if (this.cells.width !== nx || this.cells.height !== ny) Object.assign(this.cells, { width: nx, height: ny });
    const ink = this.cells.getContext("2d");
    const picture = ink.createImageData(nx, ny);
    const tones = new Map([[0, [238, 238, 238]]]);
    for (let j = 0; j < ny; j += 1) {
      const at = j * nx;
      let to = (ny - 1 - j) * nx * 4;
      for (let i = 0; i < nx; i += 1, to += 4) {
        const cell = at + i;
        if (z[cell] <= low[2]) continue;
        let tone = tones.get(step[cell]);
        if (!tone) {
          tone = parts(colourOf(step[cell])).map((part) => 255 * (0.5 + 0.5 * part));
          tones.set(step[cell], tone);
        }
        const edge = (i + 1 < nx && step[cell + 1] !== step[cell]) || (j + 1 < ny && step[cell + nx] !== step[cell]);
        picture.data[to] = edge ? 40 : tone[0];
        picture.data[to + 1] = edge ? 40 : tone[1];
        picture.data[to + 2] = edge ? 40 : tone[2];
        picture.data[to + 3] = 255;
      }
    }
    ink.putImageData(picture, 0, 0);
  }

  /** Each step's number once, where it does not cover another. */
  numbers(passes, current) {
    const taken = [];
    const told = new Set();
    const inOrder = [...passes].sort((a, b) => (b.step === current) - (a.step === current));
    for (const pass of inOrder) {
      if (told.has(pass.step)) continue;
      told.add(pass.step);
      const path = pass.paths[pass.paths.length - 1];
      const [start, end] = [path[0], path[path.length - 1]];
      const spots = [0.12, 0.88, 0.3, 0.7, 0.5, 0.2, 0.4, 0.6, 0.8, 0.03, 0.97].map((share) => [
        this.paper.x(start[0] + share * (end[0] - start[0])), this.paper.y(start[1] + share * (end[1] - start[1])),
      ]);
      const free = spots.find(([x, y]) => taken.every(([a, b]) => Math.hypot(a - x, b - y) > 21)) ?? null;
      if (!free) continue;
      taken.push(free);
      this.paper.balloon(String(pass.step), free[0], free[1], colourOf(pass.step), pass.step === current);
    }
  }

  findings(route) {
    for (const { at, letter } of route.findings) cross(this.paper.ink, this.paper.x(at[0]), this.paper.y(at[1]), letter);
  }

  cutter(tip, tool) {
    const paper = this.paper;
    const ink = paper.ink;
    const [x, y, radius] = [paper.x(tip[0]), paper.y(tip[1]), (tool.diameter / 2) * paper.scale];
    ink.beginPath();
    ink.arc(x, y, radius, 0, 2 * Math.PI);
    ink.fillStyle = "rgba(255, 255, 255, 0.45)";
    ink.fill();
    ink.lineWidth = 1.6;
    ink.strokeStyle = INK;
    ink.stroke();
    const arm = radius + 4;
    paper.line([paper.place(x - arm, y), paper.place(x + arm, y)], 0.8, [8, 2, 2, 2]);
    paper.line([paper.place(x, y - arm), paper.place(x, y + arm)], 0.8, [8, 2, 2, 2]);
  }

  /** The pass nearest to a place of the canvas, within reach of a finger. */
  passAt(x, y, route) {
    let best = null;
    let least = 14;
    for (const pass of this.passesOf(route)) {
      for (const path of pass.paths) {
        for (let i = 0; i + 1 < path.length; i += 1) {
          const [a, b] = [path[i], path[i + 1]].map(([px, py]) => [this.paper.x(px), this.paper.y(py)]);
          const length = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 || 1;
          const share = Math.min(1, Math.max(0, ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length));
          const off = Math.hypot(a[0] + share * (b[0] - a[0]) - x, a[1] + share * (b[1] - a[1]) - y);
          if (off < least) [best, least] = [pass, off];
        }
      }
    }
    return best;
  }
}

/** A place that a finding names: a cross with its letter. */
function cross(ink, x, y, letter) {
  ink.beginPath();
  ink.moveTo(x - 6, y - 6);
  ink.lineTo(x + 6, y + 6);
  ink.moveTo(x + 6, y - 6);
  ink.lineTo(x - 6, y + 6);
  ink.lineWidth = 2.5;
  ink.strokeStyle = INK;
  ink.stroke();
  ink.font = `bold 13px ${FONT}`;
  ink.textAlign = "left";
  ink.textBaseline = "middle";
  ink.lineWidth = 4;
  ink.strokeStyle = "#fff";
  ink.strokeText(letter, x + 9, y - 9);
  ink.fillStyle = INK;
  ink.fillText(letter, x + 9, y - 9);
}
