// Wheel, drag, pinch and click on the desk.

/**
 * @typedef {object} Hands
 * @property {() => boolean} wheelZooms
 * @property {(pane: Pane, point: {x: number, y: number}) => void} pick  point in mm
 * @property {(pane: Pane, point: {x: number, y: number} | null) => void} hover
 */

/** How far a pointer may stray in a click, in pixels. */
const STRAY = 4;

/** @param {Desk} desk @param {Pane} pane @param {Hands} hands */
function attachGestures(desk, pane, hands) {
  const { scroller } = pane;
  /** @type {Map<number, {x: number, y: number}>} */
  const down = new Map();
  let start = { x: 0, y: 0 };
  let dragging = false;
  let pinched = false;
  let pinch = { distance: 1, scale: 1, point: { x: 0, y: 0 } };

  scroller.addEventListener("wheel", (event) => {
    const zooms = event.ctrlKey || event.metaKey || (hands.wheelZooms() && !event.shiftKey && event.deltaY !== 0);
    if (!zooms) return;
    event.preventDefault();
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? 1 : event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 32 : 400;
    const factor = wheelFactor(event.deltaY * unit, event.ctrlKey && Math.abs(event.deltaY) < 50);
    desk.zoomAbout(pane, pane.local(event), (scale) => scale * factor);
  }, { passive: false });

  const beginPinch = () => {
    desk.settle();
    const [a, b] = [...down.values()];
    const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    pinch = { distance: Math.max(8, Math.hypot(a.x - b.x, a.y - b.y)), scale: desk.scale, point: pane.pointUnder(middle.x, middle.y) };
    pinched = true;
  };

  scroller.addEventListener("pointerdown", (event) => {
    const at = pane.local(event);
    if (event.button > 1 || at.x > scroller.clientWidth || at.y > scroller.clientHeight) return;
    if (event.button === 1) event.preventDefault();
    down.set(event.pointerId, at);
    if (down.size === 1) {
      start = at;
      dragging = pinched = false;
    } else if (down.size === 2) {
      for (const id of down.keys()) scroller.setPointerCapture(id);
      beginPinch();
    }
  });

  scroller.addEventListener("pointermove", (event) => {
    const at = pane.local(event);
    const last = down.get(event.pointerId);
    if (!last) {
      if (event.pointerType === "mouse") hands.hover(pane, pane.pointUnder(at.x, at.y));
      return;
    }
    down.set(event.pointerId, at);
    if (down.size === 2) {
      const [a, b] = [...down.values()];
      const distance = Math.max(8, Math.hypot(a.x - b.x, a.y - b.y));
      const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
      desk.zoomAbout(pane, middle, () => pinch.scale * (distance / pinch.distance), pinch.point);
      return;
    }
    if (!dragging && Math.hypot(at.x - start.x, at.y - start.y) > STRAY) {
      dragging = true;
      scroller.setPointerCapture(event.pointerId);
      scroller.classList.add("dragging");
      down.set(event.pointerId, at);
      desk.moveBy(start.x - at.x, start.y - at.y);
      return;
    }
    if (dragging) desk.moveBy(last.x - at.x, last.y - at.y);
  });

  /** @param {PointerEvent} event @param {boolean} cancelled */
  const lift = (event, cancelled) => {
    if (!down.delete(event.pointerId)) return;
    if (down.size === 1) {
      desk.settle();
      start = [...down.values()][0];
      dragging = true;
    }
    if (down.size > 0) return;
    scroller.classList.remove("dragging");
    if (!dragging && !pinched && !cancelled && event.button === 0) {
      const at = pane.local(event);
      hands.pick(pane, pane.pointUnder(at.x, at.y));
    }
    dragging = false;
  };
  scroller.addEventListener("pointerup", (event) => lift(event, false));
  scroller.addEventListener("pointercancel", (event) => lift(event, true));
  scroller.addEventListener("pointerleave", () => hands.hover(pane, null));
}
