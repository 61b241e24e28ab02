// The part's faces: level ones and upright ones, each as long as height and step stay the same.

const TOP = 0;
const RIGHT = 1;
const LEFT = 2;
const BACK = 3;
const FRONT = 4;
const FACE_NUMBERS = 8;
const FACES_ACROSS = 512;
const ROW_NUMBERS = FACE_NUMBERS * FACES_ACROSS;

/** Step and shade in one number: the shade's place in the palette counts from 1 and is 0 for raw metal. */
function paintOf(step) {
  return step === 0 ? 0 : 8 * step + 1 + Math.max(0, shades.indexOf(colourOf(step)));
}

class Faces {
  constructor(metal) {
    this.metal = metal;
    this.rows = Array.from({ length: metal.ny }, () => null);
    this.dx = (metal.high[0] - metal.low[0]) / metal.nx;
    this.dy = (metal.high[1] - metal.low[1]) / metal.ny;
    this.numbers = new Float32Array(0);
    this.count = 0;
  }

  /** Brings the faces up to date; tells whether anything changed. */
  refresh() {
    const { metal, rows } = this;
    let changed = false;
    for (let j = 0; j < metal.ny; j += 1) {
      if (!metal.dirty[j]) continue;
      changed = true;
      rows[j] = null;
      if (j > 0) rows[j - 1] = null;
    }
    if (!changed) return false;
    metal.dirty.fill(0);
    let size = 0;
    for (let j = 0; j < metal.ny; j += 1) {
      if (rows[j] === null) rows[j] = Float32Array.from(this.row(j));
      size += rows[j].length;
    }
    const room = Math.ceil(size / ROW_NUMBERS) * ROW_NUMBERS;
    if (this.numbers.length < room) this.numbers = new Float32Array(room * 2);
    let at = 0;
    for (const row of rows) {
      this.numbers.set(row, at);
      at += row.length;
    }
    this.count = size / FACE_NUMBERS;
    return true;
  }

  row(j) {
    const { nx, ny, z, step, low } = this.metal;
    const faces = [];
    const y0 = low[1] + j * this.dy;
    const y1 = y0 + this.dy;
    const floor = low[2];
    const at = j * nx;
    let from = 0;
    for (let i = 1; i <= nx; i += 1) {
      const a = at + i - 1;
      if (i < nx && z[a + 1] === z[a] && step[a + 1] === step[a]) continue;
      const x0 = low[0] + from * this.dx;
      const x1 = low[0] + i * this.dx;
      if (z[a] > floor) faces.push(x0, y0, z[a], x1, y1, z[a], TOP, paintOf(step[a]));
      if (from === 0 && z[a] > floor) faces.push(x0, y0, floor, x0, y1, z[a], LEFT, 0);
      if (i === nx && z[a] > floor) faces.push(x1, y0, floor, x1, y1, z[a], RIGHT, 0);
      if (i < nx && z[a + 1] !== z[a]) {
        const down = z[a + 1] < z[a];
        const [high, less] = down ? [a, a + 1] : [a + 1, a];
        faces.push(x1, y0, z[less], x1, y1, z[high], down ? RIGHT : LEFT, paintOf(step[less]));
      }
      from = i;
    }
    if (j === 0) this.outer(faces, at, y0, FRONT);
    if (j === ny - 1) this.outer(faces, at, y1, BACK);
    else this.between(faces, at, at + nx, y1);
    return faces;
  }

  /** The outer side of the first or the last row. */
  outer(faces, at, y, face) {
    const { nx, z, low } = this.metal;
    let from = 0;
    for (let i = 1; i <= nx; i += 1) {
      const height = z[at + i - 1];
      if (i < nx && z[at + i] === height) continue;
      if (height > low[2]) faces.push(low[0] + from * this.dx, y, low[2], low[0] + i * this.dx, y, height, face, 0);
      from = i;
    }
  }

  /** The upright faces between a row and the next. */
  between(faces, near, far, y) {
    const { nx, z, step, low } = this.metal;
    let from = 0;
    for (let i = 1; i <= nx; i += 1) {
      const a = near + i - 1;
      const b = far + i - 1;
      const same = i < nx && z[a + 1] === z[a] && z[b + 1] === z[b] && step[a + 1] === step[a] && step[b + 1] === step[b];
      if (same) continue;
      if (z[a] !== z[b]) {
        const down = z[b] < z[a];
        const [high, less] = down ? [a, b] : [b, a];
        const face = down ? BACK : FRONT;
        faces.push(low[0] + from * this.dx, y, z[less], low[0] + i * this.dx, y, z[high], face, paintOf(step[less]));
      }
      from = i;
    }
  }
}

/** The faces of vise and parallels, which nothing changes. */
class Fixture {
  constructor({ fixedJaw, movableJaw, bed, parallels }) {
    const faces = [
      ...boxFaces(fixedJaw, JAW),
      ...boxFaces(movableJaw, JAW),
      ...boxFaces(bed, BED),
      ...parallels.flatMap((box) => boxFaces(box, PARALLEL)),
    ];
    this.numbers = new Float32Array(ROW_NUMBERS);
    this.numbers.set(faces);
    this.count = faces.length / FACE_NUMBERS;
  }

  refresh() {
    return false;
  }
}

/** The faces of a box that can be seen. */
function boxFaces([low, high], paint) {
  const [x0, y0, z0] = low;
  const [x1, y1, z1] = high;
  return [
    x0, y0, z1, x1, y1, z1, TOP, paint,
    x1, y0, z0, x1, y1, z1, RIGHT, paint,
    x0, y0, z0, x0, y1, z1, LEFT, paint,
    x0, y1, z0, x1, y1, z1, BACK, paint,
    x0, y0, z0, x1, y0, z1, FRONT, paint,
  ];
}
