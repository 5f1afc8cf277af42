// A window on the desk. It scrolls; the layers in it lie on one another with their top left corners together.

class Pane {
  /** @param {number} index */
  constructor(index) {
    this.bench = make("div", { class: "bench" });
    this.space = make("div", { class: "space" }, this.bench);
    this.scroller = make("div", { class: "scroller", tabindex: 0, role: "group" }, this.space);
    this.caption = make("p", { class: "caption", id: `caption-${index}`, hidden: true });
    this.notice = make("p", { class: "notice", hidden: true });
    this.element = make("div", { class: "pane" }, this.scroller, this.caption, this.notice);
    this.element.dataset.pane = String(index);
    /** @type {Layer[]} */
    this.layers = [];
    /** The layer on top, where there are two. */
    this.top = 0;
    this.scale = ASSUMED;
  }

  /** @param {Layer[]} layers */
  setLayers(layers) {
    this.layers = layers;
    this.top = 0;
    this.bench.replaceChildren(...layers.map((layer) => layer.element));
    this.raise(0);
  }

  /** @param {number} index */
  raise(index) {
    this.top = index;
    // The lower one is always opaque, so that nothing shines through in between.
    this.layers.forEach((layer, i) => layer.element.classList.toggle("clear", i > 0 && i !== index));
    this.layers.forEach((layer, i) => layer.picture.setAttribute("aria-hidden", String(i !== index)));
  }

  get window() {
    return { width: this.scroller.clientWidth, height: this.scroller.clientHeight };
  }

  /** The size of the largest layer, in mm. @returns {Size | null} */
  get content() {
    const sizes = this.layers.flatMap((layer) => (layer.size && layer.filled ? [layer.size] : []));
    if (sizes.length === 0) return null;
    return { width: Math.max(...sizes.map((size) => size.width)), height: Math.max(...sizes.map((size) => size.height)) };
  }

  /** @param {number} scale */
  layOut(scale) {
    this.scale = scale;
    const content = this.content ?? { width: 0, height: 0 };
    const across = axis(this.window.width, content.width * scale);
    const down = axis(this.window.height, content.height * scale);
    this.space.style.width = `${across.space}px`;
    this.space.style.height = `${down.space}px`;
    this.bench.style.left = `${across.offset}px`;
    this.bench.style.top = `${down.offset}px`;
    this.bench.style.width = `${content.width * scale}px`;
    this.bench.style.height = `${content.height * scale}px`;
    this.bench.style.transform = "";
    for (const layer of this.layers) layer.setScale(scale);
  }

  /** The point of the page at a point of this window. @param {number} x @param {number} y in pixels of the window */
  pointUnder(x, y) {
    const content = this.content ?? { width: 1, height: 1 };
    return {
      x: pointAt(this.window.width, content.width, this.scale, this.scroller.scrollLeft, x),
      y: pointAt(this.window.height, content.height, this.scale, this.scroller.scrollTop, y),
    };
  }

  /** @param {number} scale @param {{x: number, y: number}} point in mm @param {{x: number, y: number}} at in pixels */
  scrollTarget(scale, point, at) {
    const content = this.content ?? { width: 1, height: 1 };
    return {
      left: scrollFor(this.window.width, content.width, scale, point.x, at.x),
      top: scrollFor(this.window.height, content.height, scale, point.y, at.y),
    };
  }

  /**
   * Shows another scale without laying out: the picture is only stretched, which is cheap while fingers move.
   * @param {number} scale @param {{x: number, y: number}} point @param {{x: number, y: number}} at
   */
  preview(scale, point, at) {
    const content = this.content;
    if (!content) return;
    const target = this.scrollTarget(scale, point, at);
    const { window } = this;
    const x = axis(window.width, content.width * scale).offset - target.left
      - (axis(window.width, content.width * this.scale).offset - this.scroller.scrollLeft);
    const y = axis(window.height, content.height * scale).offset - target.top
      - (axis(window.height, content.height * this.scale).offset - this.scroller.scrollTop);
    this.bench.style.transform = `translate(${x}px, ${y}px) scale(${scale / this.scale})`;
  }

  /** @param {{left: number, top: number}} target */
  scrollTo(target) {
    this.scroller.scrollLeft = target.left;
    this.scroller.scrollTop = target.top;
  }

  /** A point of the screen in pixels of this window. @param {{clientX: number, clientY: number}} event */
  local(event) {
    const frame = this.scroller.getBoundingClientRect();
    return { x: event.clientX - frame.left - this.scroller.clientLeft, y: event.clientY - frame.top - this.scroller.clientTop };
  }

  /** @param {string} text empty: none */
  say(text) {
    setText(this.notice, text);
    this.notice.hidden = text === "";
  }
}
