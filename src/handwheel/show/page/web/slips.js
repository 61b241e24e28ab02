// Slips: one at a time, its part beside the sound one, both seen from the same place.

class Slips {
  constructor(buffer, lesson) {
    this.lesson = lesson;
    this.slips = facts.slips.map((told) => ({ told, metal: null }));
    this.buffer = buffer;
    this.buttons = [...document.querySelectorAll("button.slip")];
    this.cards = [...document.querySelectorAll(".slip-card")];
    this.buttons.forEach((button, i) => button.addEventListener("click", () => this.show(i)));
    if (this.cards.length) {
      document.getElementById("slips").classList.add("one-at-a-time");
      this.show(0);
    }
  }

  show(index) {
    this.buttons.forEach((button, i) => button.setAttribute("aria-pressed", String(i === index)));
    this.cards.forEach((card, i) => card.classList.toggle("shown", i === index));
    const slip = this.slips[index];
    if (!slip.told) return;
    slip.metal ??= new FinishedMetal(slip.told, this.buffer);
    const card = this.cards[index];
    this.picture(card.querySelector("canvas.sound"), this.sound(slip.told.route), [], facts.boxes);
    this.picture(card.querySelector("canvas.slipped"), slip.metal, slip.told.findings, slip.told.boxes);
  }

  /** The finished part of a route, as it should be. */
  sound(name) {
    const metal = this.lesson.metals[name];
    return { nx: metal.nx, ny: metal.ny, low: metal.low, high: metal.high, dirty: new Uint8Array(metal.ny).fill(1), ...metal.finished() };
  }

  picture(canvas, metal, findings, boxes) {
    metal.dirty.fill(1);
    if (this.lesson.looking) {
      this.lesson.looking.portrait(canvas, metal, findings, boxes);
      return;
    }
    const plan = new PlanView(canvas);
    plan.paper.begin(1);
    plan.work(metal);
    plan.findings({ findings });
  }
}
