// True size. A browser does not know how large its pixels are: the user measures them once.

/** Pixels of CSS per millimetre as browsers assume them: 96 to the inch. */
const ASSUMED = 96 / 25.4;

/**
 * Kept in pixels of the device, so that it holds when the page is zoomed by the browser.
 * @param {unknown} stored @param {number} ratio device pixels per CSS pixel
 * @returns {{scale: number, measured: boolean}} CSS pixels per mm
 */
function trueScale(stored, ratio) {
  const value = typeof stored === "object" && stored !== null && "devicePixelsPerMm" in stored ? stored.devicePixelsPerMm : null;
  if (typeof value !== "number" || !(value > 0.5 && value < 80)) return { scale: ASSUMED, measured: false };
  return { scale: value / ratio, measured: true };
}

/** What to keep when a bar of so many millimetres is so many CSS pixels long. @param {number} pixels @param {number} mm @param {number} ratio */
function calibration(pixels, mm, ratio) {
  return { devicePixelsPerMm: (pixels * ratio) / mm };
}

/** The bar to measure: 100 mm, or 50 mm in a narrow window. @param {number} room in pixels @param {number} scale */
function barLength(room, scale) {
  return 100 * scale * 1.15 <= room ? 100 : 50;
}
