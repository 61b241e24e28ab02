// From above: the part by step, the passes, the jaws, the cutter.

// pixels
const REACH = 14;

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
    route.findings.forEach(({ at, letter }, i) => cross(this.paper.ink, this.paper.x(at[0]), this.paper.y(at[1]), letter, i));
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

  /** The pass nearest to a place of the canvas, within reach of a finger; of several that lie on each other there the
   * one after `current`, so that pointing again goes through them. */
  passAt(x, y, route, current) {
    const near = this.passesOf(route).map((pass) => ({ pass, off: this.distance(x, y, pass) }));
    const least = Math.min(REACH, ...near.map(({ off }) => off));
    const here = near.filter(({ off }) => off < REACH && off <= least + 3).map(({ pass }) => pass);
    const at = here.findIndex((pass) => pass.step === current.step && pass.stroke === current.stroke);
    return here.length ? here[(at + 1) % here.length] : null;
  }

  /** How far a place of the canvas is from a pass, in pixels. */
  distance(x, y, pass) {
    let least = Infinity;
    for (const path of pass.paths) {
      for (let i = 0; i + 1 < path.length; i += 1) {
        const [a, b] = [path[i], path[i + 1]].map(([px, py]) => [this.paper.x(px), this.paper.y(py)]);
        const length = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 || 1;
        const share = Math.min(1, Math.max(0, ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length));
        least = Math.min(least, Math.hypot(a[0] + share * (b[0] - a[0]) - x, a[1] + share * (b[1] - a[1]) - y));
      }
    }
    return least;
  }
}
