// The desk: one window, two windows side by side that move together, or two layers in one window.

/** @typedef {"single" | "beside" | "blink"} Arrangement */

const SETTLE = 130;

class Desk {
  constructor() {
    this.panes = [new Pane(0), new Pane(1)];
    this.layers = [new Layer(), new Layer()];
    this.element = make("div", { class: "desk" }, this.panes[0].element);
    /** @type {Arrangement} */
    this.arrangement = "single";
    this.scale = ASSUMED;
    /** @type {ZoomMode} */
    this.mode = "fit";
    this.trueScale = ASSUMED;
    /** @type {{pane: Pane, at: {x: number, y: number}, point: {x: number, y: number}, scale: number, timer: number} | null} */
    this.gesture = null;
    /** The end of the last gesture: the next at the same spot holds the same point, also where an edge pushed it away. */
    this.last = { at: { x: -1, y: -1 }, point: { x: 0, y: 0 }, pane: this.panes[0], left: 0, top: 0, scale: 0 };
    this.onZoom = () => {};
    this.panes[0].setLayers([this.layers[0]]);
    const observer = new ResizeObserver(() => this.refresh());
    for (const pane of this.panes) {
      observer.observe(pane.scroller);
      pane.scroller.addEventListener("scroll", () => this.follow(pane), { passive: true });
    }
  }

  /** @param {Arrangement} arrangement */
  arrange(arrangement) {
    if (arrangement === this.arrangement) return;
    this.settle();
    const keep = this.middle();
    this.arrangement = arrangement;
    const [first, second] = this.panes;
    first.setLayers(arrangement === "blink" ? this.layers : [this.layers[0]]);
    second.setLayers(arrangement === "beside" ? [this.layers[1]] : []);
    if (arrangement === "beside") this.element.append(second.element);
    else second.element.remove();
    this.element.dataset.arrangement = arrangement;
    this.refresh(keep);
  }

  get shownPanes() {
    return this.arrangement === "beside" ? this.panes : [this.panes[0]];
  }

  /** The point of the page in the middle of the window, in mm. */
  middle() {
    const { width, height } = this.panes[0].window;
    return this.panes[0].pointUnder(width / 2, height / 2);
  }

  fit(widthOnly = false) {
    const scales = this.shownPanes.flatMap((pane) => (pane.content ? [fitScale(pane.window, pane.content, widthOnly)] : []));
    return scales.length > 0 ? Math.min(...scales) : this.scale;
  }

  /** Lays out anew: a window or a page has another size. @param {{x: number, y: number}} [keep] the point to keep in the middle */
  refresh(keep) {
    if (this.gesture) return;
    if (this.mode === "fit" || this.mode === "width") this.scale = this.fit(this.mode === "width");
    else if (this.mode === "true") this.scale = this.trueScale;
    for (const pane of this.shownPanes) {
      pane.layOut(this.scale);
      if (keep) pane.scrollTo(pane.scrollTarget(this.scale, keep, { x: pane.window.width / 2, y: pane.window.height / 2 }));
    }
    this.onZoom();
  }

  /** @param {ZoomMode} mode @param {number} [scale] */
  setMode(mode, scale) {
    this.settle();
    const keep = this.middle();
    this.mode = mode;
    if (scale !== undefined) this.scale = clampScale(scale, this.trueScale, this.fit());
    this.refresh(keep);
  }

  /** @param {1 | -1} direction */
  step(direction) {
    this.settle();
    this.setMode("free", nextStep(this.scale, this.trueScale, direction));
  }

  /**
   * Zooms about a point of a window while a gesture lasts.
   * @param {Pane} pane @param {{x: number, y: number}} at @param {(scale: number) => number} change
   * @param {{x: number, y: number}} [point] the point of the page to hold there; by default what is there now
   */
  zoomAbout(pane, at, change, point) {
    let gesture = this.gesture;
    const moved = gesture && (gesture.pane !== pane || Math.hypot(gesture.at.x - at.x, gesture.at.y - at.y) > 2);
    if (gesture && moved && !point) {
      this.settle();
      gesture = null;
    }
    if (!gesture) gesture = { pane, at, point: point ?? this.lastPoint(pane, at) ?? pane.pointUnder(at.x, at.y), scale: this.scale, timer: 0 };
    clearTimeout(gesture.timer);
    if (point) Object.assign(gesture, { at, point });
    gesture.scale = clampScale(change(gesture.scale), this.trueScale, this.fit());
    gesture.timer = setTimeout(() => this.settle(), SETTLE);
    this.gesture = gesture;
    this.mode = "free";
    for (const one of this.shownPanes) one.preview(gesture.scale, gesture.point, gesture.at);
    this.onZoom();
  }

  /** Ends a gesture: the page is laid out, and drawn sharp, at its scale. */
  settle() {
    const gesture = this.gesture;
    if (!gesture) return;
    clearTimeout(gesture.timer);
    this.gesture = null;
    this.scale = gesture.scale;
    for (const pane of this.shownPanes) {
      pane.layOut(this.scale);
      pane.scrollTo(pane.scrollTarget(this.scale, gesture.point, gesture.at));
    }
    const { scrollLeft: left, scrollTop: top } = gesture.pane.scroller;
    this.last = { at: gesture.at, point: gesture.point, pane: gesture.pane, left, top, scale: this.scale };
    this.onZoom();
  }

  /** @param {Pane} pane @param {{x: number, y: number}} at */
  lastPoint(pane, at) {
    const { last } = this;
    const { scrollLeft, scrollTop } = pane.scroller;
    const still = last.pane === pane && last.scale === this.scale && last.left === scrollLeft && last.top === scrollTop;
    return still && Math.hypot(last.at.x - at.x, last.at.y - at.y) <= 2 ? last.point : null;
  }

  get scaleNow() {
    return this.gesture?.scale ?? this.scale;
  }

  /** @param {number} across @param {number} down in pixels */
  moveBy(across, down) {
    this.settle();
    const { scroller } = this.panes[0];
    this.panes[0].scrollTo({ left: scroller.scrollLeft + across, top: scroller.scrollTop + down });
  }

  /** @param {Pane} moved */
  follow(moved) {
    if (this.arrangement !== "beside") return;
    for (const pane of this.panes) {
      if (pane === moved) continue;
      const { scroller } = pane;
      if (Math.abs(scroller.scrollLeft - moved.scroller.scrollLeft) > 0.9) scroller.scrollLeft = moved.scroller.scrollLeft;
      if (Math.abs(scroller.scrollTop - moved.scroller.scrollTop) > 0.9) scroller.scrollTop = moved.scroller.scrollTop;
    }
  }

  /** Scrolls until boxes are in view: all of them if they fit, else the first. @param {Pane} pane @param {Box[]} boxes */
  reveal(pane, boxes) {
    this.settle();
    const all = unionOf(boxes);
    const content = pane.content;
    if (!all || !content) return;
    const { window, scroller, scale } = pane;
    const fits = (all.x1 - all.x0) * scale <= window.width && (all.y1 - all.y0) * scale <= window.height;
    const box = fits ? all : boxes[0];
    pane.scrollTo({
      left: reveal(window.width, content.width, scale, scroller.scrollLeft, box.x0, box.x1),
      top: reveal(window.height, content.height, scale, scroller.scrollTop, box.y0, box.y1),
    });
  }

  /** @param {boolean} stale */
  setStale(stale) {
    this.element.classList.toggle("stale", stale);
  }
}
