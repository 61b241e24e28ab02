// Where one looks from. Nothing gets smaller with distance, as on a drawing.

const DEGREE = Math.PI / 180;
const MARGIN = 1.06;
const PLACES = {
  operator: { turn: 28 * DEGREE, tilt: 34 * DEGREE },
  above: { turn: 0, tilt: 90 * DEGREE },
  end: { turn: 90 * DEGREE, tilt: 0 },
};

class Camera {
  constructor({ work, fixedJaw, movableJaw }) {
    // the middle of the picture is the work's top, so that there is room above it for the cutter
    this.centre = [(work[0][0] + work[1][0]) / 2, (work[0][1] + work[1][1]) / 2, work[1][2]];
    this.reach = Math.hypot(...[0, 1, 2].map((k) => work[1][k] - work[0][k])) * 0.57;
    this.tops = [fixedJaw, movableJaw, work].flatMap(([low, high]) =>
      [low[0], high[0]].flatMap((x) => [low[1], high[1]].map((y) => [x, y, high[2]])),
    );
    this.go("operator");
  }

  /** To a place from which the work and the tops of both jaws are seen whole. */
  go(place) {
    Object.assign(this, PLACES[place], { zoom: 1 });
    this.half = this.axes().slice(0, 2).map((axis) => MARGIN * Math.max(...this.tops.map((top) => Math.abs(this.along(axis, top)))));
  }

  /** How far a point lies along an axis from the middle of the picture, mm. */
  along(axis, point) {
    return axis.reduce((sum, value, k) => sum + value * (point[k] - this.centre[k]), 0);
  }

  turnBy(turn, tilt) {
    this.turn += turn;
    this.tilt = Math.min(90 * DEGREE, Math.max(0, this.tilt + tilt));
  }

  zoomBy(factor) {
    this.zoom = Math.min(8, Math.max(0.4, this.zoom * factor));
  }

  /** To the right and up on the screen, and towards the viewer; each of length 1. */
  axes() {
    const c = Math.cos(this.turn);
    const s = Math.sin(this.turn);
    const ct = Math.cos(this.tilt);
    const st = Math.sin(this.tilt);
    return [[c, s, 0], [-st * s, st * c, ct], [ct * s, -ct * c, st]];
  }

  /** Pixels for a millimetre. */
  scale(width, height) {
    const [right, up] = this.half;
    return Math.min(width / (2 * this.reach), (height * 1.25) / (2 * this.reach), width / (2 * right), height / (2 * up)) * this.zoom;
  }

  /** Column by column, from millimeters to the square of −1…1. */
  matrix(width, height) {
    const [right, up, towards] = this.axes();
    const scale = this.scale(width, height);
    const rows = [
      right.map((value) => (value * 2 * scale) / width),
      up.map((value) => (value * 2 * scale) / height),
      towards.map((value) => -value / (this.reach * 6)),
    ];
    const shift = rows.map((row) => -row.reduce((sum, value, k) => sum + value * this.centre[k], 0));
    return new Float32Array([0, 1, 2].flatMap((k) => [rows[0][k], rows[1][k], rows[2][k], 0]).concat(shift, 1));
  }

  /** A place of the work on the screen, in pixels from its upper left corner. */
  onScreen(point, width, height) {
    const [right, up] = this.axes();
    const scale = this.scale(width, height);
    return [width / 2 + this.along(right, point) * scale, height / 2 - this.along(up, point) * scale];
  }

  /** The cell of the part that is seen at a place of the screen, −1 for none. */
  cellAt(x, y, width, height, metal) {
    const [right, up, towards] = this.axes();
    const scale = this.scale(width, height);
    const u = (x - width / 2) / scale;
    const v = (height / 2 - y) / scale;
    const dx = (metal.high[0] - metal.low[0]) / metal.nx;
    const dy = (metal.high[1] - metal.low[1]) / metal.ny;
    const stride = Math.min(dx, dy) / 2;
    for (let s = this.reach * 2; s > -this.reach * 2; s -= stride) {
      const point = [0, 1, 2].map((k) => this.centre[k] + right[k] * u + up[k] * v + towards[k] * s);
      if (point[2] < metal.low[2] || point[2] > metal.high[2]) continue;
      const i = Math.floor((point[0] - metal.low[0]) / dx);
      const j = Math.floor((point[1] - metal.low[1]) / dy);
      if (i < 0 || j < 0 || i >= metal.nx || j >= metal.ny) continue;
      if (point[2] <= metal.z[j * metal.nx + i]) return j * metal.nx + i;
    }
    return -1;
  }
}
