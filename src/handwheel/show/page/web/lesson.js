// The lesson: one moment of one route, shown everywhere at once.

const byId = (id) => document.getElementById(id);
const still = matchMedia("(prefers-reduced-motion: reduce)");
const LINE_TIME = 1200;
const BALLOON_TIME = 180;

class Lesson {
  constructor(buffer) {
    this.routes = {};
    this.metals = {};
    for (const [name, told] of Object.entries(facts.routes)) {
      this.routes[name] = new Route(name, told);
      this.metals[name] = new Metal(told.metal, buffer, this.routes[name]);
    }
    this.name = "hand";
    this.span = 0;
    this.portion = 0;
    this.playing = false;
    this.speed = 20;
    this.spin = 0;
    this.steps = new Map(facts.steps.map((step) => [step.number, step]));
    const go = (name, line) => this.goToLine(name, line);
    this.lists = {
      hand: new List(byId("hand-list"), this.routes.hand, go),
      program: new List(byId("program-list"), this.routes.program, go),
    };
    this.plan = new PlanView(byId("plan"));
    this.end = new EndView(byId("end"));
    this.scales = new Scales(byId("dials"), byId("readout"));
    this.camera = new Camera(facts.boxes.work);
    this.balloons = new Balloons(byId("balloons"));
    this.startPictorial();
    this.controls();
    new ResizeObserver(() => this.show()).observe(document.querySelector(".work"));
    this.show();
    this.slips = new Slips(buffer, this);
    const numbers = [...document.querySelectorAll(".step")].map((step) => Number(step.dataset.step));
    const rows = [...new Set(numbers)].sort((a, b) => a - b);
    // on paper the same step stands in the same row of both lists
    for (const step of document.querySelectorAll(".step")) step.style.gridRow = rows.indexOf(Number(step.dataset.step)) + 3;
  }

  get route() {
    return this.routes[this.name];
  }

  get metal() {
    return this.metals[this.name];
  }

  get time() {
    return this.route.starts[this.span] + this.portion * this.route.seconds[this.span];
  }

  // where one is --------------------------------------------------------------------------------------------------

  goTo(span, portion = 0) {
    this.span = Math.min(this.route.count - 1, Math.max(0, span));
    this.portion = portion;
    this.show();
  }

  goToTime(time) {
    const span = this.route.spanAt(Math.min(time, this.route.total));
    this.goTo(span, this.route.share(span, time));
  }

  goToLine(name, line) {
    this.pause();
    this.choose(name, false);
    const { route } = this;
    const exact = route.firstOfLine(line);
    const later = route.line.findIndex((other) => other >= line);
    this.goTo(exact >= 0 ? exact : later >= 0 ? later : route.count - 1);
  }

  /** To the start of a pass: its first move that cuts. */
  goToPass(step, stroke) {
    this.pause();
    const range = this.route.range(step, stroke);
    if (!range) return;
    let span = range[0];
    while (span < range[1] && !(this.route.row[span] >= 0 && this.route.moves[this.route.row[span]][0] > 0)) span += 1;
    this.goTo(span);
  }

  lineBy(way) {
    const { line, count } = this.route;
    let span = this.span;
    const from = line[span];
    while (span >= 0 && span < count && line[span] === from) span += way;
    if (span >= count) return this.goTo(count - 1, 1);
    while (way < 0 && span > 0 && line[span - 1] === line[span]) span -= 1;
    return this.goTo(span);
  }

  stepBy(way) {
    const { step, count } = this.route;
    const start = (span) => {
      let first = span;
      while (first > 0 && step[first - 1] === step[span]) first -= 1;
      return first;
    };
    if (way > 0) {
      let span = this.span;
      while (span < count && step[span] === step[this.span]) span += 1;
      return span < count ? this.goTo(span) : this.goTo(count - 1, 1);
    }
    const first = start(this.span);
    return this.goTo(first < this.span || this.portion > 0 ? first : start(Math.max(0, first - 1)));
  }

  /** Shows the other route at the same place of the job. */
  choose(name, keepPlace = true) {
    if (name === this.name) return;
    const time = keepPlace ? this.meanwhile() : 0;
    this.name = name;
    document.querySelector(`input[name=route][value=${name}]`).checked = true;
    byId("scrub").max = this.route.total;
    if (keepPlace) this.goToTime(time);
  }

  /** What the clock of the other route says at the same place of the job. */
  meanwhile() {
    const { route } = this;
    const other = this.routes[this.name === "hand" ? "program" : "hand"];
    const [step, stroke] = [route.step[this.span], route.stroke[this.span]];
    const there = other.range(step, stroke);
    if (!there) return route.total ? (this.time / route.total) * other.total : 0;
    const here = route.range(step, stroke);
    const [from, to] = [route.starts[here[0]], route.starts[here[1] + 1]];
    const share = to > from ? (this.time - from) / (to - from) : 1;
    const [first, last] = [other.starts[there[0]], other.starts[there[1] + 1]];
    return first + Math.min(1, Math.max(0, share)) * (last - first);
  }

  // what is seen --------------------------------------------------------------------------------------------------

  show() {
    const { route, span, metal } = this;
    const row = route.row[span];
    const still = row < 0 ? [route.rowsDone[span], 1] : [row, this.portion];
    metal.goTo(...still);
    const tip = route.tip(span, this.portion);
    const tool = facts.cutters[route.tool[span]];
    const [step, stroke] = [route.step[span], route.stroke[span]];
    const sharp = Math.min(2, window.devicePixelRatio || 1);
    this.scene = { metal, route, tip, tool, step, stroke, sharp };
    this.plan.draw(this.scene);
    this.end.draw(this.scene);
    this.drawPictorial();
    this.showScales(tip);
    this.showLists(step, stroke);
    this.showWords(step);
  }

  showScales(tip) {
    const { route, span } = this;
    if (route.before) {
      const [before, after] = [route.before[span], route.after[span]];
      const mixed = before.map((value, k) =>
        value === null || after[k] === null ? (this.portion >= 1 ? after[k] : value) : value + this.portion * (after[k] - value));
      this.scales.byHand(mixed);
    } else {
      this.scales.byProgram(tip);
    }
    const other = this.name === "hand" ? "program" : "hand";
    const times = { [this.name]: this.time, [other]: this.meanwhile() };
    for (const [name, time] of Object.entries(times)) {
      byId(`clock-${name}`).value = `${clockText(time)} of ${clockText(this.routes[name].total)}`;
    }
    byId("spindle").value = route.rpm[span] ? `${Math.round(route.rpm[span])} rev/min` : "stands still";
  }

  showLists(step, stroke) {
    const other = this.name === "hand" ? "program" : "hand";
    this.lists[this.name].at(this.route.line[this.span]);
    this.lists[other].follow(step, stroke);
    for (const [name, list] of Object.entries(this.lists)) list.box.classList.toggle("active", name === this.name);
  }

  showWords(step) {
    const scrub = byId("scrub");
    scrub.value = this.time;
    const title = this.steps.get(step)?.title ?? "Before the first step";
    const line = this.lists[this.name].text(this.route.line[this.span]);
    const words = `${step ? `Step ${step}: ` : ""}${title}`;
    if (this.said === words + line) return;
    this.said = words + line;
    scrub.setAttribute("aria-valuetext", `${clockText(this.time)}, ${words}`);
    const caption = byId("caption");
    const [bold, now, idea] = ["b", "span", "i"].map((name) => document.createElement(name));
    bold.textContent = words;
    now.textContent = line;
    const told = this.steps.get(step);
    idea.textContent = told?.idea ? `${told.idea}: by hand ${told.byHand}; by program ${told.byProgram}` : "";
    caption.replaceChildren(bold, now, idea);
    if (!this.playing) byId("told").textContent = `${words}. ${line}`;
  }

  // the pictorial view --------------------------------------------------------------------------------------------

  startPictorial() {
    try {
      this.pictorial = new Pictorial(byId("pictorial"));
    } catch {
      this.pictorial = null;
      document.querySelector(".work").classList.add("flat");
      byId("no-pictorial").hidden = false;
      byId("pictorial").hidden = true;
      return;
    }
    this.faces = { hand: new Faces(this.metals.hand), program: new Faces(this.metals.program) };
    this.handle();
  }

  drawPictorial(now = performance.now()) {
    if (!this.pictorial) return;
    const canvas = byId("pictorial");
    const { clientWidth: width, clientHeight: height } = canvas;
    if (!width || !height) return;
    const sharp = this.scene.sharp;
    Object.assign(canvas, fitted(canvas, width * sharp, height * sharp));
    const number = this.route.tool[this.span];
    const cutter = number ? { number, tip: this.scene.tip, spin: this.spin } : null;
    this.pictorial.draw(this.faces[this.name], this.camera, cutter);
    if (this.playing && now - (this.balloonsAt ?? 0) < BALLOON_TIME) return;
    this.balloonsAt = now;
    this.balloons.draw(this.metal, this.camera, width, height, this.scene.step, this.route.findings);
  }

  /** A finished part, drawn into another canvas from the place one looks from at the start. */
  portrait(target, metal, findings) {
    const ink = target.getContext("2d");
    const { width, height } = target;
    if (!this.pictorial) {
      const view = new PlanView(target);
      view.paper.begin(1);
      view.work(metal);
      view.findings({ findings });
      return;
    }
    const canvas = byId("pictorial");
    const kept = { width: canvas.width, height: canvas.height };
    Object.assign(canvas, { width, height });
    const camera = new Camera(facts.boxes.work);
    this.pictorial.draw(new Faces(metal), camera, null);
    ink.drawImage(canvas, 0, 0);
    for (const { at, letter } of findings) cross(ink, ...camera.onScreen(at, width, height), letter);
    Object.assign(canvas, kept);
    this.drawPictorial();
  }

  /** What is printed of the pictorial view: a picture of it, as a canvas of the other sort cannot be printed. */
  printPictorial() {
    this.drawPictorial();
    const [screen, paper] = [byId("pictorial"), byId("pictorial-print")];
    Object.assign(paper, { width: screen.width, height: screen.height });
    paper.getContext("2d").drawImage(screen, 0, 0);
  }

  handle() {
    const canvas = byId("pictorial");
    const pointers = new Map();
    let moved = 0;
    const seen = () => this.drawPictorial();
    canvas.addEventListener("pointerdown", (event) => {
      pointers.set(event.pointerId, event);
      canvas.setPointerCapture(event.pointerId);
      moved = 0;
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = pointers.get(event.pointerId);
      if (!before) return;
      const [dx, dy] = [event.clientX - before.clientX, event.clientY - before.clientY];
      if (pointers.size === 1) this.camera.turnBy(-dx * 0.008, dy * 0.008);
      else {
        const other = [...pointers].find(([id]) => id !== event.pointerId)[1];
        const apart = (one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
        this.camera.zoomBy(apart(event) / Math.max(1, apart(before)));
      }
      moved += Math.abs(dx) + Math.abs(dy);
      pointers.set(event.pointerId, event);
      seen();
    });
    const up = (event) => {
      if (pointers.delete(event.pointerId) && moved < 4 && event.type === "pointerup") this.pick(event);
    };
    canvas.addEventListener("pointerup", up);
    canvas.addEventListener("pointercancel", up);
    canvas.addEventListener("wheel", (event) => {
      if (!event.ctrlKey && document.activeElement !== canvas) return;
      event.preventDefault();
      this.camera.zoomBy(Math.exp(-event.deltaY * 0.0015));
      seen();
    }, { passive: false });
    const turns = {
      left: () => this.camera.turnBy(-0.15, 0),
      right: () => this.camera.turnBy(0.15, 0),
      up: () => this.camera.turnBy(0, 0.1),
      down: () => this.camera.turnBy(0, -0.1),
      nearer: () => this.camera.zoomBy(1.2),
      further: () => this.camera.zoomBy(1 / 1.2),
      back: () => this.camera.go("operator"),
    };
    const keys = {
      ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down",
      "+": "nearer", "=": "nearer", "-": "further", Home: "back",
    };
    canvas.addEventListener("keydown", (event) => {
      const turn = turns[keys[event.key]];
      if (!turn || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      turn();
      seen();
    });
    for (const button of document.querySelectorAll("[data-turn], [data-view]")) {
      button.addEventListener("click", () => {
        if (button.dataset.view) this.camera.go(button.dataset.view);
        else turns[button.dataset.turn]();
        seen();
      });
    }
  }

  /** Goes to the pass that made the face under the pointer. */
  pick(event) {
    const canvas = byId("pictorial");
    const place = canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - place.left, event.clientY - place.top];
    const cell = this.camera.cellAt(x, y, place.width, place.height, this.metal);
    const row = cell < 0 ? -1 : this.metal.madeBy(cell);
    if (row >= 0) this.goToPass(this.route.stepOfRow[row], this.route.strokeOfRow[row]);
  }

  // running -------------------------------------------------------------------------------------------------------

  controls() {
    byId("scrub").max = this.route.total;
    byId("scrub").addEventListener("input", (event) => {
      this.pause();
      this.goToTime(Number(event.target.value));
    });
    byId("scrub").addEventListener("keydown", (event) => {
      const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
      if (!way) return;
      event.preventDefault();
      this.pause();
      this.goToTime(Math.max(0, this.time + way * Math.max(1, this.route.total / 200)));
    });
    byId("play").addEventListener("click", () => (this.playing ? this.pause() : this.play()));
    byId("speed").addEventListener("change", (event) => (this.speed = Number(event.target.value)));
    this.speed = Number(byId("speed").value);
    const press = (id, act) => byId(id).addEventListener("click", () => {
      this.pause();
      act();
    });
    press("line-on", () => this.lineBy(1));
    press("line-back", () => this.lineBy(-1));
    press("step-on", () => this.stepBy(1));
    press("step-back", () => this.stepBy(-1));
    for (const input of document.querySelectorAll("input[name=route]")) {
      input.addEventListener("change", () => this.choose(input.value));
      if (input.value === this.name) input.checked = true;
    }
    byId("plan").addEventListener("click", (event) => {
      const place = event.target.getBoundingClientRect();
      const pass = this.plan.passAt(event.clientX - place.left, event.clientY - place.top, this.route);
      if (pass) this.goToPass(pass.step, pass.stroke);
    });
    window.addEventListener("beforeprint", () => {
      this.plan.draw({ ...this.scene, sharp: 3 });
      this.end.draw({ ...this.scene, sharp: 3 });
      if (this.pictorial) this.printPictorial();
    });
    window.addEventListener("afterprint", () => this.show());
  }

  play() {
    if (this.span >= this.route.count - 1 && this.portion >= 1) this.goTo(0);
    this.playing = true;
    this.frames = 0;
    byId("play").textContent = "❚❚ Pause";
    this.last = performance.now();
    requestAnimationFrame((now) => this.tick(now));
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    byId("play").textContent = "▶ Play";
    this.said = "";
    this.show();
  }

  tick(now) {
    if (!this.playing) return;
    const passed = Math.min(0.25, (now - this.last) / 1000);
    if (!still.matches) {
      this.last = now;
      this.frames += 1;
      if (this.route.rpm[this.span]) this.spin = (this.spin + passed * 2) % 1;
      this.goToTime(this.time + passed * this.speed);
    } else if (now - this.last >= LINE_TIME) {
      this.last = now;
      this.lineBy(1);
    }
    if (this.time >= this.route.total) this.pause();
    else requestAnimationFrame((next) => this.tick(next));
  }
}

/** Only what has to change: to set a canvas's size clears it. */
function fitted(canvas, width, height) {
  const [w, h] = [Math.round(width), Math.round(height)];
  return canvas.width === w && canvas.height === h ? {} : { width: w, height: h };
}

unpack().then(
  (buffer) => {
    window.lesson = new Lesson(buffer);
    document.documentElement.dataset.ready = "true";
  },
  () => (byId("too-old").hidden = false),
);
