// Two layers in one window, shown in turn.

/** How long each is shown, in milliseconds. Never less than a second. */
const TURN = 1600;

class Blinker {
  /** @param {Desk} desk @param {() => void} changed */
  constructor(desk, changed) {
    this.desk = desk;
    this.changed = changed;
    this.timer = 0;
    this.calm = matchMedia("(prefers-reduced-motion: reduce)");
    this.calm.addEventListener("change", () => {
      if (this.calm.matches) this.hold();
      this.changed();
    });
    document.addEventListener("visibilitychange", () => {
      if (document.hidden) this.hold();
    });
  }

  get running() {
    return this.timer !== 0;
  }

  get allowed() {
    return !this.calm.matches;
  }

  get shown() {
    return this.desk.panes[0].top;
  }

  flip() {
    if (this.desk.arrangement !== "blink") return;
    this.desk.panes[0].raise(1 - this.shown);
    this.changed();
  }

  run() {
    if (!this.allowed || this.running) return;
    this.timer = setInterval(() => this.flip(), TURN);
    this.changed();
  }

  hold() {
    if (!this.running) return;
    clearInterval(this.timer);
    this.timer = 0;
    this.changed();
  }
}
