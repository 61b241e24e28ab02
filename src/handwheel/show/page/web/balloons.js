// Step numbers on the pictorial view: one for each step whose cut is in sight.

const SVG = "http://www.w3.org/2000/svg";

class Balloons {
  constructor(svg) {
    this.svg = svg;
  }

  /** Cells of each step, thinned out, in an order that spreads them. */
  spots(metal) {
    const found = new Map();
    for (let cell = 0; cell < metal.step.length; cell += 7) {
      const step = metal.step[cell];
      if (!step || metal.z[cell] <= metal.low[2]) continue;
      if (!found.has(step)) found.set(step, []);
      found.get(step).push(cell);
    }
    return found;
  }

  draw(metal, camera, width, height, current, findings) {
    const taken = [];
    const marks = [];
    for (const [step, cells] of [...this.spots(metal)].sort((a, b) => (b[0] === current) - (a[0] === current))) {
      for (let k = 0; k < 12; k += 1) {
        const cell = cells[Math.floor((((k + 1) * 0.618034) % 1) * cells.length)];
        const point = [
          metal.low[0] + ((cell % metal.nx) + 0.5) * ((metal.high[0] - metal.low[0]) / metal.nx),
          metal.low[1] + (Math.floor(cell / metal.nx) + 0.5) * ((metal.high[1] - metal.low[1]) / metal.ny),
          metal.z[cell],
        ];
        const [x, y] = camera.onScreen(point, width, height);
        const seen = camera.cellAt(x, y, width, height, metal);
        const inSight = seen >= 0 && metal.step[seen] === step;
        if (!inSight || taken.some(([a, b]) => Math.hypot(a - x, b - y) < 24)) continue;
        taken.push([x, y]);
        marks.push([step, x, y]);
        break;
      }
    }
    this.svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.svg.replaceChildren(
      ...marks.map(([step, x, y]) => mark(step, x, y, step === current)),
      ...findings.map(({ at, letter }, i) => found(letter, ASIDE[i % ASIDE.length], ...camera.onScreen(at, width, height))),
    );
  }
}

function element(name, attributes, text) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text !== undefined) made.textContent = text;
  return made;
}

function mark(step, x, y, strong) {
  const group = element("g", { transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` });
  group.append(
    element("circle", { r: 10, fill: "#fff", stroke: colourOf(step), "stroke-width": strong ? 3.5 : 2 }),
    element("text", { "text-anchor": "middle", dy: "0.36em" }, String(step)),
  );
  return group;
}

function found(letter, [dx, dy], x, y) {
  const group = element("g", { transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})`, class: "found" });
  group.append(element("path", { d: "M-6 -6 L6 6 M6 -6 L-6 6" }), element("text", { x: dx, y: dy, dy: "0.36em" }, letter));
  return group;
}
