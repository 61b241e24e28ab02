// The two lists: one line of each is current; arrow keys go through them.

class List {
  constructor(box, route, go) {
    this.box = box;
    this.scroll = box.querySelector(".scroll");
    this.route = route;
    this.lines = [...box.querySelectorAll("button.line")];
    this.buttons = [...box.querySelectorAll("button.go")];
    this.byLine = new Map(this.lines.map((button) => [Number(button.dataset.line), button]));
    this.current = null;
    this.followed = [];
    this.focusable(this.buttons[0]);
    box.addEventListener("click", (event) => {
      const button = event.target.closest("button.go");
      if (button) go(route.name, Number(button.dataset.line));
    });
    box.addEventListener("keydown", (event) => this.key(event, go));
  }

  key(event, go) {
    const at = this.buttons.indexOf(document.activeElement);
    if (at < 0 || event.altKey || event.ctrlKey || event.metaKey) return;
    const steps = this.buttons.map((button, i) => (button.classList.contains("line") ? -1 : i)).filter((i) => i >= 0);
    const to = {
      ArrowDown: at + 1,
      ArrowUp: at - 1,
      Home: 0,
      End: this.buttons.length - 1,
      PageDown: steps.find((i) => i > at) ?? this.buttons.length - 1,
      PageUp: [...steps].reverse().find((i) => i < at) ?? 0,
    }[event.key];
    if (to === undefined || !this.buttons[to]) return;
    event.preventDefault();
    this.focusable(this.buttons[to]);
    this.buttons[to].focus();
    go(this.route.name, Number(this.buttons[to].dataset.line));
  }

  /** Of all the buttons one is reached with the tab key. */
  focusable(button) {
    if (!button || this.reached === button) return;
    if (this.reached) this.reached.tabIndex = -1;
    this.reached = button;
    button.tabIndex = 0;
  }

  /** Marks the line that is carried out now. */
  at(line) {
    const button = this.byLine.get(line) ?? null;
    this.mark(button, []);
  }

  /** Marks the pass or step that the other route is at. */
  follow(step, stroke) {
    const same = this.lines.filter((button) => Number(button.dataset.step) === step);
    const pass = stroke ? same.filter((button) => Number(button.dataset.stroke) === stroke) : [];
    this.mark(null, pass.length ? pass : same);
  }

  mark(current, followed) {
    const changed = current !== this.current || followed[0] !== this.followed[0] || followed.length !== this.followed.length;
    if (!changed) return;
    this.current?.removeAttribute("aria-current");
    for (const button of this.followed) button.classList.remove("same");
    this.current = current;
    this.followed = followed;
    current?.setAttribute("aria-current", "step");
    for (const button of followed) button.classList.add("same");
    const first = current ?? followed.find((button) => button.classList.contains("cuts")) ?? followed[0];
    if (!first) return;
    if (!this.box.contains(document.activeElement)) this.focusable(first);
    this.bring(first);
  }

  /** Scrolls the list, and nothing else, so that a line stands in its middle. */
  bring(button) {
    const place = button.getBoundingClientRect();
    const frame = this.scroll.getBoundingClientRect();
    if (place.top >= frame.top + 40 && place.bottom <= frame.bottom - 40) return;
    this.scroll.scrollTop += place.top - frame.top - (frame.height - place.height) / 2;
  }

  text(line) {
    return this.byLine.get(line)?.querySelector("span")?.textContent ?? "";
  }
}
