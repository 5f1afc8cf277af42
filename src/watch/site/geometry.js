// Arithmetic of places, zoom and scrolling. Nothing here touches the page.

/** Blank space around a page, in pixels. */
const MARGIN = 28;
const LARGEST = 128;

/**
 * Everything at a point, the top item first. Small things are easier to hit with some slack, but only if nothing is
 * exactly there.
 * @param {Place[]} places from the bottom item up @param {number} x @param {number} y @param {number} slack all in mm
 * @returns {string[]} keys, each once
 */
function hits(places, x, y, slack = 0) {
  /** @type {string[]} */
  const found = [];
  for (let i = places.length - 1; i >= 0; i -= 1) {
    const [x0, y0, x1, y1, key] = places[i];
    if (x >= x0 - slack && x <= x1 + slack && y >= y0 - slack && y <= y1 + slack && !found.includes(key)) found.push(key);
  }
  return found;
}

/** @param {Place[]} places @param {string} key @returns {Box[]} */
function boxesOf(places, key) {
  return places.filter((place) => place[4] === key).map(([x0, y0, x1, y1]) => ({ x0, y0, x1, y1 }));
}

/** @param {Box[]} boxes @returns {Box | null} */
function unionOf(boxes) {
  if (boxes.length === 0) return null;
  return {
    x0: Math.min(...boxes.map((box) => box.x0)),
    y0: Math.min(...boxes.map((box) => box.y0)),
    x1: Math.max(...boxes.map((box) => box.x1)),
    y1: Math.max(...boxes.map((box) => box.y1)),
  };
}

/** The scale at which a page fits. @param {Size} window in pixels @param {Size} page in mm @param {boolean} widthOnly */
function fitScale(window, page, widthOnly) {
  const across = (window.width - 2 * MARGIN) / page.width;
  const down = (window.height - 2 * MARGIN) / page.height;
  return Math.max(0.02, widthOnly ? across : Math.min(across, down));
}

/** @param {number} scale @param {number} trueScale @param {number} fit all in pixels per mm */
function clampScale(scale, trueScale, fit) {
  const least = Math.min(fit, trueScale) / 4;
  return Math.min(Math.max(scale, least), Math.max(LARGEST, trueScale * 32));
}

/** The next round zoom up or down. @param {number} scale @param {number} trueScale @param {1 | -1} direction */
function nextStep(scale, trueScale, direction) {
  const steps = [0.01, 0.02, 0.03, 0.05, 0.07, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.7, 1, 1.5, 2, 3, 4, 6, 8, 12, 16, 24, 32];
  const now = scale / trueScale;
  const next = direction > 0 ? steps.find((step) => step > now * 1.02) : steps.findLast((step) => step < now / 1.02);
  return (next ?? (direction > 0 ? 32 : 0.01)) * trueScale;
}

/** The factor of one wheel event. @param {number} delta in pixels @param {boolean} pinch */
function wheelFactor(delta, pinch) {
  const bounded = Math.max(-160, Math.min(160, delta));
  return Math.exp(-bounded * (pinch ? 0.01 : 0.0025));
}

/**
 * One axis: how long the scrolled space is and where in it the page begins. A page smaller than its window is centred.
 * @param {number} window @param {number} content both in pixels
 */
function axis(window, content) {
  const space = Math.max(window, content + 2 * MARGIN);
  return { space, offset: (space - content) / 2 };
}

/**
 * How far to scroll so that a point of the page lies at a point of the window.
 * @param {number} window @param {number} length of the page in mm @param {number} scale @param {number} mm @param {number} at
 */
function scrollFor(window, length, scale, mm, at) {
  const { space, offset } = axis(window, length * scale);
  return Math.min(Math.max(0, mm * scale + offset - at), space - window);
}

/** The point of the page, in mm, at a point of the window. @param {number} window @param {number} length @param {number} scale @param {number} scroll @param {number} at */
function pointAt(window, length, scale, scroll, at) {
  return (scroll + at - axis(window, length * scale).offset) / scale;
}

/**
 * Where to scroll along one axis to show a stretch: not at all if it is in view, else to its middle; a stretch longer
 * than the window shows its beginning.
 * @param {number} window @param {number} length @param {number} scale @param {number} scroll @param {number} from @param {number} to in mm
 */
function reveal(window, length, scale, scroll, from, to) {
  const { offset } = axis(window, length * scale);
  const start = from * scale + offset - scroll;
  const end = to * scale + offset - scroll;
  const edge = Math.min(24, window / 8);
  if (start >= edge && end <= window - edge) return scroll;
  if (end - start > window - 2 * edge) return scrollFor(window, length, scale, from, edge);
  return scrollFor(window, length, scale, (from + to) / 2, window / 2);
}
