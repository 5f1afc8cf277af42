// The bar below the desk: zoom, and what lies under the pointer.

/**
 * @typedef {object} ZoomActions
 * @property {() => void} trueSize
 * @property {() => void} measure
 * @property {(zooms: boolean) => void} setWheel
 */

/** @param {Desk} desk @param {ZoomActions} actions @param {boolean} wheel */
function zoombar(desk, actions, wheel) {
  /** @param {string} id @param {string} text @param {string} name @param {() => void} click */
  const button = (id, text, name, click) => make("button", {
    type: "button", id: `zoom-${id}`, class: text.length === 1 ? "square" : "", "aria-label": name === text ? null : `${text}: ${name}`,
    title: name, click,
  }, text);
  const smaller = button("out", "−", WORDS.zoomOut, () => desk.step(-1));
  const larger = button("in", "+", WORDS.zoomIn, () => desk.step(1));
  const fit = button("fit", WORDS.zoomFit, WORDS.zoomFitLong, () => desk.setMode("fit"));
  const width = button("width", WORDS.zoomWidth, WORDS.zoomWidthLong, () => desk.setMode("width"));
  const actual = button("true", WORDS.zoomTrue, WORDS.zoomTrueLong, actions.trueSize);
  const ruler = button("ruler", WORDS.ruler, WORDS.rulerLong, actions.measure);
  const value = make("output", { class: "zoom-value", id: "zoom-value" });
  const under = make("span", { class: "under", "aria-hidden": "true" });
  const check = make("input", { type: "checkbox", id: "wheel-zooms", change: () => actions.setWheel(check.checked) });
  check.checked = wheel;
  const element = make("div", { class: "zoombar", role: "group", "aria-label": WORDS.zoomArea },
    under,
    make("span", { class: "wheel" }, check, make("label", { for: "wheel-zooms" }, WORDS.wheelZooms)),
    ruler,
    make("div", { class: "segments" }, fit, width, actual),
    make("div", { class: "segments" }, smaller, value, larger));
  const modes = /** @type {[HTMLButtonElement, ZoomMode][]} */ ([[fit, "fit"], [width, "width"], [actual, "true"]]);
  for (const [one] of modes) one.setAttribute("aria-pressed", "false");

  return {
    element,
    /** @param {boolean} measured */
    update(measured) {
      setText(value, WORDS.percent((desk.scaleNow / desk.trueScale) * 100));
      value.setAttribute("aria-label", WORDS.zoomIs(value.textContent ?? ""));
      setText(ruler, measured ? WORDS.ruler : WORDS.measureScreen);
      ruler.setAttribute("aria-label", `${ruler.textContent}: ${WORDS.rulerLong}`);
      for (const [one, mode] of modes) one.setAttribute("aria-pressed", String(desk.mode === mode));
    },
    /** @param {string} text */
    say: (text) => setText(under, text),
  };
}
