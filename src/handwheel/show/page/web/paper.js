// Plan and end view have one kind of paper: millimeters across and up, fitted into a canvas.

class Paper {
  constructor(canvas, low, high, room = [0, 0]) {
    this.canvas = canvas;
    this.ink = canvas.getContext("2d");
    this.room = room;
    this.low = low;
    this.high = high;
  }

  /** Clears the paper and fits the view's frame to it, `room` pixels kept free on the left and on the right; `sharp` pixels for one of the page. */
  begin(sharp) {
    const { clientWidth, clientHeight } = this.canvas;
    const width = Math.max(1, Math.round(clientWidth * sharp));
    const height = Math.max(1, Math.round(clientHeight * sharp));
    if (this.canvas.width !== width || this.canvas.height !== height) Object.assign(this.canvas, { width, height });
    this.sharp = sharp;
    this.ink.setTransform(sharp, 0, 0, sharp, 0, 0);
    this.ink.clearRect(0, 0, clientWidth, clientHeight);
    const [left, right] = this.room;
    const [w, h] = [this.high[0] - this.low[0], this.high[1] - this.low[1]];
    this.scale = Math.min((clientWidth - 8 - left - right) / w, (clientHeight - 8) / h);
    this.left = left + (clientWidth - left - right - this.scale * w) / 2;
    this.top = (clientHeight - this.scale * h) / 2;
  }

  x(across) {
    return this.left + (across - this.low[0]) * this.scale;
  }

  y(up) {
    return this.top + (this.high[1] - up) * this.scale;
  }

  /** Millimeters under a place of the canvas. */
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

  shape(points, fill, width, dashes = []) {
    const ink = this.ink;
    ink.beginPath();
    points.forEach(([x, y], i) => (i ? ink.lineTo(this.x(x), this.y(y)) : ink.moveTo(this.x(x), this.y(y))));
    ink.closePath();
    ink.fillStyle = fill;
    ink.fill();
    ink.lineWidth = width;
    ink.strokeStyle = INK;
    ink.setLineDash(dashes);
    ink.stroke();
    ink.setLineDash([]);
  }

  /** Words on white, so that lines do not run through them. */
  words(text, x, y, { align = "center", size = 12, bold = false } = {}) {
    const ink = this.ink;
    ink.font = `${bold ? "bold " : ""}${size}px ${FONT}`;
    ink.textAlign = align;
    ink.textBaseline = "middle";
    const width = ink.measureText(text).width + 4;
    const left = align === "center" ? x - width / 2 : align === "right" ? x - width + 2 : x - 2;
    ink.fillStyle = "#fff";
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
const DASHES = [6, 3];

/** Where a finding's letter stands beside its cross: all round it by turns, as places often lie on each other. */
const ASIDE = [[8, -9], [8, 10], [-18, -9], [-18, 10], [-5, -17], [-5, 18]];

/** A place that a finding names: a cross with its letter. */
function cross(ink, x, y, letter, index) {
  ink.beginPath();
  ink.moveTo(x - 6, y - 6);
  ink.lineTo(x + 6, y + 6);
  ink.moveTo(x + 6, y - 6);
  ink.lineTo(x - 6, y + 6);
  ink.lineWidth = 2.5;
  ink.strokeStyle = INK;
  ink.stroke();
  const [dx, dy] = ASIDE[index % ASIDE.length];
  ink.font = `bold 13px ${FONT}`;
  ink.textAlign = "left";
  ink.textBaseline = "middle";
  ink.lineWidth = 4;
  ink.strokeStyle = "#fff";
  ink.strokeText(letter, x + dx, y + dy);
  ink.fillStyle = INK;
  ink.fillText(letter, x + dx, y + dy);
}
