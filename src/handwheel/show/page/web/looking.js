// Looking at the pictorial view: turning it with mouse, touch and keys, and going to what is pointed at.

const BALLOON_TIME = 180;
const TURN = 0.15;
const KEYS = {
  ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down",
  "+": "nearer", "=": "nearer", "-": "further", Home: "back",
};

class Looking {
  /** Throws where the browser has no WebGL 2. */
  constructor(lesson, canvas, svg) {
    this.lesson = lesson;
    this.canvas = canvas;
    this.pictorial = new Pictorial(canvas);
    this.camera = new Camera(facts.boxes);
    this.balloons = new Balloons(svg);
    this.balloonsAt = 0;
    this.fixture = new Fixture(facts.boxes);
    this.faces = { hand: new Faces(lesson.metals.hand), program: new Faces(lesson.metals.program) };
    this.turns = {
      left: () => this.camera.turnBy(-TURN, 0),
      right: () => this.camera.turnBy(TURN, 0),
      up: () => this.camera.turnBy(0, TURN),
      down: () => this.camera.turnBy(0, -TURN),
      nearer: () => this.camera.zoomBy(1.2),
      further: () => this.camera.zoomBy(1 / 1.2),
      back: () => this.camera.go("operator"),
    };
    this.pointers();
    this.keys();
  }

  draw() {
    const { canvas, lesson, camera } = this;
    const { clientWidth: width, clientHeight: height } = canvas;
    if (!width || !height) return;
    fit(canvas, width * lesson.scene.sharp, height * lesson.scene.sharp);
    const number = lesson.route.tool[lesson.span];
    const cutter = number ? { number, tip: lesson.scene.tip, spin: lesson.spin } : null;
    this.pictorial.draw(this.faces[lesson.name], this.fixture, camera, cutter);
    // to find what is in sight takes longer than to draw it
    const now = performance.now();
    if (lesson.playing && now - this.balloonsAt < BALLOON_TIME) return;
    this.balloonsAt = now;
    this.balloons.draw(lesson.metal, camera, width, height, lesson.scene.step, lesson.route.findings);
  }

  /** A finished part in its vise, drawn into another canvas from the place one looks from at the start. */
  portrait(target, metal, findings, boxes) {
    const { canvas } = this;
    const { width, height } = target;
    const kept = [canvas.width, canvas.height];
    fit(canvas, width, height);
    const camera = new Camera(facts.boxes);
    const [faces, fixture] = [new Faces(metal), new Fixture(boxes)];
    this.pictorial.draw(faces, fixture, camera, null);
    this.pictorial.forget(faces);
    this.pictorial.forget(fixture);
    const ink = target.getContext("2d");
    ink.drawImage(canvas, 0, 0);
    findings.forEach(({ at, letter }, i) => cross(ink, ...camera.onScreen(at, width, height), letter, i));
    fit(canvas, ...kept);
    this.draw();
  }

  /** A copy for paper, as a canvas of this sort cannot be printed. */
  copyTo(paper) {
    this.draw();
    fit(paper, this.canvas.width, this.canvas.height);
    paper.getContext("2d").drawImage(this.canvas, 0, 0);
  }

  pointers() {
    const { canvas, camera } = this;
    const down = new Map();
    let moved = 0;
    canvas.addEventListener("pointerdown", (event) => {
      down.set(event.pointerId, event);
      canvas.setPointerCapture(event.pointerId);
      moved = 0;
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = down.get(event.pointerId);
      if (!before) return;
      const [dx, dy] = [event.clientX - before.clientX, event.clientY - before.clientY];
      const other = [...down.values()].find((one) => one.pointerId !== event.pointerId);
      if (other) {
        const apart = (one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
        camera.zoomBy(apart(event) / Math.max(1, apart(before)));
      } else {
        camera.turnBy(-dx * 0.008, dy * 0.008);
      }
      moved += Math.abs(dx) + Math.abs(dy);
      down.set(event.pointerId, event);
      this.draw();
    });
    canvas.addEventListener("pointerup", (event) => {
      if (down.delete(event.pointerId) && moved < 4) this.pick(event);
    });
    canvas.addEventListener("pointercancel", (event) => down.delete(event.pointerId));
    canvas.addEventListener("wheel", (event) => {
      // without a key, and without the focus, the wheel belongs to the page
      if (!event.ctrlKey && document.activeElement !== canvas) return;
      event.preventDefault();
      camera.zoomBy(Math.exp(-event.deltaY * 0.0015));
      this.draw();
    }, { passive: false });
  }

  keys() {
    this.canvas.addEventListener("keydown", (event) => {
      const turn = this.turns[KEYS[event.key]];
      if (!turn || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      turn();
      this.draw();
    });
    for (const button of document.querySelectorAll("[data-turn], [data-view]")) {
      button.addEventListener("click", () => {
        if (button.dataset.view) this.camera.go(button.dataset.view);
        else this.turns[button.dataset.turn]();
        this.draw();
      });
    }
  }

  /** Goes to the pass that made the face under the pointer. */
  pick(event) {
    const { lesson } = this;
    const place = this.canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - place.left, event.clientY - place.top];
    const cell = this.camera.cellAt(x, y, place.width, place.height, lesson.metal);
    const row = cell < 0 ? -1 : lesson.metal.madeBy(cell);
    if (row >= 0) lesson.goToPass(lesson.route.stepOfRow[row], lesson.route.strokeOfRow[row]);
  }
}

/** Sets a canvas's size where it differs: to set it clears the canvas. */
function fit(canvas, width, height) {
  const [w, h] = [Math.round(width), Math.round(height)];
  if (canvas.width !== w) canvas.width = w;
  if (canvas.height !== h) canvas.height = h;
}
