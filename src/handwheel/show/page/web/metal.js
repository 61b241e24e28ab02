// The metal at any moment: every cell's height and the step that made it, by doing and undoing drops.

class Metal {
  constructor(told, buffer, route) {
    Object.assign(this, { nx: told.nx, ny: told.ny, low: told.low, high: told.high });
    this.first = arrayAt(buffer, told.first);
    const cell = arrayAt(buffer, told.cell);
    for (let i = 1; i < cell.length; i += 1) cell[i] += cell[i - 1];
    const ends = arrayAt(buffer, told.ends);
    const lasts = arrayAt(buffer, told.lasts);
    const height = arrayAt(buffer, told.height);
    const order = this.inTime(ends);
    this.cell = Int32Array.from(order, (i) => cell[i]);
    this.ends = Float32Array.from(order, (i) => ends[i] / told.shares);
    this.lasts = Float32Array.from(order, (i) => lasts[i]);
    this.height = Float32Array.from(order, (i) => height[i]);
    this.route = route;
    this.row = new Int32Array(order.length);
    for (let row = 0; row + 1 < this.first.length; row += 1) this.row.fill(row, this.first[row], this.first[row + 1]);

    this.z = new Float32Array(this.nx * this.ny).fill(this.high[2]);
    this.step = new Int16Array(this.nx * this.ny);
    this.latest = new Int32Array(this.nx * this.ny).fill(-1);
    this.previous = this.chain();
    this.done = 0;
    this.partial = [];
    this.dirty = new Uint8Array(this.ny).fill(1);
    this.version = 0;
  }

  /** Drops in the order in which they end, move by move. */
  inTime(ends) {
    const order = Int32Array.from(ends, (_, i) => i);
    for (let row = 0; row + 1 < this.first.length; row += 1) {
      order.subarray(this.first[row], this.first[row + 1]).sort((a, b) => ends[a] - ends[b] || a - b);
    }
    return order;
  }

  /** For each drop the one before it in its cell; a later one never raises the cell again. */
  chain() {
    const latest = new Int32Array(this.nx * this.ny).fill(-1);
    return Int32Array.from(this.cell, (cell, i) => {
      const before = latest[cell];
      if (before >= 0 && this.height[before] < this.height[i]) this.height[i] = this.height[before];
      latest[cell] = i;
      return before;
    });
  }

  /** Everything as it is when `share` of a move (−1: none yet) is done. */
  goTo(row, share) {
    for (const cell of this.partial) this.settle(cell);
    this.partial = [];
    const wanted = row < 0 ? 0 : this.doneBy(row, share);
    while (this.done < wanted) {
      const cell = this.cell[this.done];
      this.latest[cell] = this.done;
      this.settle(cell);
      this.done += 1;
    }
    while (this.done > wanted) {
      this.done -= 1;
      const cell = this.cell[this.done];
      this.latest[cell] = this.previous[this.done];
      this.settle(cell);
    }
    const end = row < 0 ? 0 : this.first[Math.min(row + 1, this.first.length - 1)];
    for (let i = this.done; i < end; i += 1) {
      const begun = share - (this.ends[i] - this.lasts[i]);
      if (this.lasts[i] > 0 && begun > 0) this.lower(i, begun / this.lasts[i]);
    }
  }

  /** A drop that is under way. */
  lower(i, share) {
    const cell = this.cell[i];
    const from = this.z[cell];
    this.z[cell] = from + share * (Math.min(this.height[i], from) - from);
    this.step[cell] = this.route.stepOfRow[this.row[i]];
    this.partial.push(cell);
    this.touch(cell);
  }

  settle(cell) {
    const drop = this.latest[cell];
    this.z[cell] = drop < 0 ? this.high[2] : this.height[drop];
    this.step[cell] = drop < 0 ? 0 : this.route.stepOfRow[this.row[drop]];
    this.touch(cell);
  }

  /** Notes that a cell has changed, for whoever draws it. */
  touch(cell) {
    this.dirty[Math.floor(cell / this.nx)] = 1;
    this.version += 1;
  }

  /** Heights and steps when all is done. */
  finished() {
    const z = new Float32Array(this.z.length).fill(this.high[2]);
    const step = new Int16Array(this.z.length);
    this.cell.forEach((cell, i) => {
      z[cell] = this.height[i];
      step[cell] = this.route.stepOfRow[this.row[i]];
    });
    return { z, step };
  }

  doneBy(row, share) {
    const last = this.first.length - 2;
    if (row > last) return this.cell.length;
    let low = this.first[row];
    let high = this.first[row + 1];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.ends[middle] <= share) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** The move that made a cell's height, −1 where it is raw. */
  madeBy(cell) {
    return this.latest[cell] < 0 ? -1 : this.row[this.latest[cell]];
  }
}

/** A part that stays as it is. */
class FinishedMetal {
  constructor(told, buffer) {
    Object.assign(this, { nx: told.nx, ny: told.ny, low: told.low, high: told.high });
    this.z = arrayAt(buffer, told.height);
    this.step = Int16Array.from(arrayAt(buffer, told.step));
    this.dirty = new Uint8Array(this.ny).fill(1);
  }
}
