// The lesson: one moment of one route, shown everywhere at once.

const byId = (id) => document.getElementById(id);
const still = matchMedia("(prefers-reduced-motion: reduce)");
const LINE_TIME = 1200;

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
    this.looking = this.lookingAt(byId("pictorial"), byId("balloons"));
    this.controls();
    new ResizeObserver(() => this.show(true)).observe(document.querySelector(".work"));
    this.show();
    this.slips = new Slips(buffer, this);
    const numbers = [...document.querySelectorAll(".step")].map((step) => Number(step.dataset.step));
    const rows = [...new Set(numbers)].sort((a, b) => a - b);
    // on paper the same step stands in the same row of both lists
    for (const step of document.querySelectorAll(".step")) step.style.gridRow = rows.indexOf(Number(step.dataset.step)) + 3;
  }

  /** The pictorial view, or null where the browser cannot draw it: plan and end view have its place then. */
  lookingAt(canvas, svg) {
    try {
      return new Looking(this, canvas, svg);
    } catch {
      document.querySelector(".work").classList.add("flat");
      byId("no-pictorial").hidden = false;
      canvas.hidden = true;
      return null;
    }
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

  /** Draws what has changed; `anew` draws all of it. */
  show(anew = false) {
    const { route, span, metal } = this;
    const row = route.row[span];
    const still = row < 0 ? [route.rowsDone[span], 1] : [row, this.portion];
    metal.goTo(...still);
    const tip = route.tip(span, this.portion);
    const tool = facts.cutters[route.tool[span]];
    const [step, stroke] = [route.step[span], route.stroke[span]];
    const sharp = Math.min(2, window.devicePixelRatio || 1);
    this.scene = { metal, route, tip, tool, step, stroke, sharp };
    const seen = [this.name, metal.version, ...tip, route.tool[span], step, stroke, sharp].join();
    if (anew || seen !== this.seen) {
      this.plan.draw(this.scene);
      this.end.draw(this.scene);
    }
    if (anew || seen !== this.seen || route.rpm[span]) this.looking?.draw();
    this.seen = seen;
    this.showScales(tip);
    this.showLists(step, stroke);
    this.showWords(step);
  }

  showScales(tip) {
    const { route, span } = this;
    if (route.scales) {
      const [before, after] = [route.scales[span], route.scales[span + 1]];
      const between = (value, k) =>
        value === null || after[k] === null ? value : value + this.portion * (after[k] - value);
      this.scales.byHand(this.portion < 1 ? before.map(between) : after);
    } else {
      this.scales.byProgram(tip);
    }
    const other = this.name === "hand" ? "program" : "hand";
    const times = { [this.name]: this.time, [other]: this.meanwhile() };
    for (const [name, time] of Object.entries(times)) {
      byId(`clock-${name}`).value = `${clockText(time)} of ${clockText(this.routes[name].total)}`;
    }
    byId("spindle").value = route.rpm[span] ? `${Math.round(route.rpm[span])} rev/min` : "off";
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
      const pass = this.plan.passAt(event.clientX - place.left, event.clientY - place.top, this.route, this.scene);
      if (pass) this.goToPass(pass.step, pass.stroke);
    });
    window.addEventListener("beforeprint", () => {
      this.plan.draw({ ...this.scene, sharp: 3 });
      this.end.draw({ ...this.scene, sharp: 3 });
      this.looking?.copyTo(byId("pictorial-print"));
    });
    window.addEventListener("afterprint", () => this.show(true));
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
    this.show(true);
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

unpack().then(
  (buffer) => {
    window.lesson = new Lesson(buffer);
    document.documentElement.dataset.ready = "true";
  },
  () => (byId("too-old").hidden = false),
);
