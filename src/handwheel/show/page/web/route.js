// One route: its moves, its clock, and what belongs to which step and pass.

const ARC = 2;
const PLANES = [[0, 1, 2], [2, 0, 1], [1, 2, 0]];

class Route {
  constructor(name, told) {
    this.name = name;
    this.moves = told.moves;
    this.findings = told.findings;
    Object.assign(this, told.spans);
    this.count = this.seconds.length;
    this.starts = new Float64Array(this.count + 1);
    this.rowsDone = new Int32Array(this.count);
    this.stepOfRow = new Int32Array(this.moves.length);
    this.strokeOfRow = new Int32Array(this.moves.length);
    this.spanOfRow = new Int32Array(this.moves.length);
    let done = -1;
    for (let i = 0; i < this.count; i += 1) {
      this.starts[i + 1] = this.starts[i] + this.seconds[i];
      const row = this.row[i];
      if (row >= 0) {
        done = row;
        this.stepOfRow[row] = this.step[i];
        this.strokeOfRow[row] = this.stroke[i];
        this.spanOfRow[row] = i;
      }
      this.rowsDone[i] = done;
    }
    this.total = this.starts[this.count];
  }

  /** The span in force at a time; of several that begin at once, the last. */
  spanAt(time) {
    let low = 0;
    let high = this.count - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.starts[middle] <= time) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  /** How much of a span is done at a time, 0…1. */
  share(span, time) {
    if (this.seconds[span] <= 0) return 1;
    return Math.min(1, Math.max(0, (time - this.starts[span]) / this.seconds[span]));
  }

  /** Where the tip stands, mm. */
  tip(span, share) {
    const row = this.row[span];
    return row < 0 ? this.at[span] : pointOn(this.moves[row], share);
  }

  /** First and last span of a pass, of a step where it has no such pass, or null. */
  range(step, stroke) {
    let first = -1;
    let last = -1;
    for (let i = 0; i < this.count; i += 1) {
      if (this.step[i] === step && (stroke === 0 || this.stroke[i] === stroke)) {
        if (first < 0) first = i;
        last = i;
      }
    }
    if (first >= 0) return [first, last];
    return stroke ? this.range(step, 0) : null;
  }

  firstOfLine(line) {
    return this.line.indexOf(line);
  }
}

/** A point on a move, mm; `move` is a row of the page's table. */
function pointOn(move, share) {
  const point = [0, 1, 2].map((k) => move[1 + k] + share * (move[4 + k] - move[1 + k]));
  if (move[0] === ARC && share < 1) {
    const [first, second] = PLANES[move[11]];
    const turn = share * move[10];
    const u = move[1 + first] - move[7 + first];
    const v = move[1 + second] - move[7 + second];
    point[first] = move[7 + first] + u * Math.cos(turn) - v * Math.sin(turn);
    point[second] = move[7 + second] + u * Math.sin(turn) + v * Math.cos(turn);
  }
  return point;
}
