// Dials and readout: the ring turns under a fixed line, as at the machine; the figure stands below it.

const { units, perUnit, dials: DIALS, readoutStep, readoutDecimals, halfDecimals, clear } = facts.scales;
const CONTACT = 1e-6;

/** A length in mm as the shop writes it: no zero before the point in inches. */
function shopNumber(length, decimals) {
  const tens = 10 ** decimals;
  // half away from zero, after a nudge, as the shop's numbers are rounded everywhere
  const whole = Math.round((Math.abs(length) + 1e-9) / perUnit * tens) / tens;
  let text = `${length < 0 ? "-" : ""}${whole.toFixed(decimals)}`;
  if (Number(text) === 0) text = text.replace("-", "");
  return units === "in" ? text.replace(/^(-?)0\./, "$1.") : text;
}

/** The nearest whole number, the even one in the middle: so the route sheet rounds too. */
function nearest(value) {
  const below = Math.floor(value);
  if (value - below === 0.5) return below % 2 === 0 ? below : below + 1;
  return Math.round(value);
}

/** How many marks of a scale a reading is, to the nearest one, or to the middle of two where it stands there. */
function marks(reading, step) {
  const half = nearest((2 * reading) / step) / 2;
  return Math.abs(half * step - reading) <= CONTACT ? half : nearest(reading / step);
}

/** A reading as whole turns from the dial's zero, and the graduation that stands at the line. */
function turnsAndGraduation(reading, dial) {
  const counted = marks(reading, dial.graduation);
  const around = Math.round(dial.perTurn / dial.graduation);
  const turns = Math.floor(counted / around);
  return [turns, counted - turns * around];
}

/** What the readout shows; half way between two of its figures, the half. */
function readoutFigure(reading) {
  if (reading === null) return "not set";
  const count = marks(reading, readoutStep);
  return shopNumber(count * readoutStep, Number.isInteger(count) ? readoutDecimals : halfDecimals);
}

class Dial {
  constructor(told) {
    this.told = told;
    const around = Math.round(told.perTurn / told.graduation);
    this.svg = element("svg", { viewBox: "-60 -66 120 126", role: "img" });
    this.ring = element("g", {});
    this.ring.append(element("circle", { r: 52, class: "ring" }), element("circle", { r: 20, class: "hub" }));
    const every = around > 120 ? 5 : 1;
    for (let k = 0; k < around; k += every) {
      const numbered = (k * 10) % around === 0;
      const half = (k * 20) % around === 0;
      this.ring.append(element("line", {
        x1: 0, x2: 0, y1: -51, y2: numbered ? -42 : half ? -45 : -48, class: numbered ? "long" : "short",
        transform: `rotate(${(360 * k) / around})`,
      }));
    }
    for (let k = 0; k < 5; k += 1) {
      const count = Math.round((around * k) / 5);
      this.ring.append(element("text", { y: -28, transform: `rotate(${72 * k})`, "text-anchor": "middle" }, String(count)));
    }
    this.ring.append(element("circle", { cx: 0, cy: 12, r: 4, class: "grip" }));
    this.svg.append(this.ring, element("path", { d: "M0 -53 L-5 -64 L5 -64 Z", class: "pointer" }));
    this.name = document.createElement("span");
    this.name.textContent = told.name;
    this.figure = document.createElement("output");
    this.box = document.createElement("div");
    this.box.className = "dial";
    this.box.append(this.svg, this.name, this.figure);
  }

  /** `none` is said where there is no reading. */
  show(reading, none = "not set") {
    const set = reading !== null && reading !== undefined;
    const angle = set ? (-360 * reading) / this.told.perTurn : 0;
    this.ring.setAttribute("transform", `rotate(${(angle % 360).toFixed(2)})`);
    this.box.classList.toggle("not-set", !set);
    const [turns, graduation] = set ? turnsAndGraduation(reading, this.told) : [0, 0];
    const words = set ? `${turns} ${Math.abs(turns) === 1 ? "turn" : "turns"} + ${graduation}` : none;
    if (this.figure.value !== words) {
      this.figure.value = words;
      this.svg.setAttribute("aria-label", `${this.told.name} dial: ${words}`);
    }
  }
}

class Scales {
  constructor(place, readout) {
    this.dials = DIALS.map((told) => new Dial(told));
    place.append(...this.dials.map((dial) => dial.box));
    this.rows = ["X", "Y", "Z"].map((axis) => {
      const row = readout.insertRow();
      const name = document.createElement("th");
      name.scope = "row";
      name.textContent = axis;
      row.append(name);
      return { row, figure: row.insertCell() };
    });
    this.title = document.getElementById("readout-title");
  }

  /** By hand: what knee, table and saddle dial and the readout show. */
  byHand(readings) {
    this.dials.forEach((dial, k) => dial.show(readings[k]));
    this.rows.forEach(({ row }, k) => (row.hidden = k === 2 || !readoutStep));
    if (readoutStep) this.readout(readings.slice(3).map(readoutFigure), "Readout");
  }

  /** By program: where the cutter is, and what the dials would say to it by hand; above the clear level nobody winds. */
  byProgram(tip) {
    const wound = tip[2] <= clear + CONTACT;
    [-tip[2], tip[0], tip[1]].forEach((reading, k) => this.dials[k].show(wound ? reading : null, "–"));
    this.readout(tip.map((value) => shopNumber(value, units === "in" ? 4 : 3)), "Position");
    for (const { row } of this.rows) row.hidden = false;
  }

  readout(figures, title) {
    this.title.textContent = title;
    figures.forEach((words, k) => {
      if (this.rows[k].figure.textContent !== words) this.rows[k].figure.textContent = words;
    });
  }
}

/** Minutes and seconds. */
function clockText(time) {
  const whole = Math.floor(time + 1e-6);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
