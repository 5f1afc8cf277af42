// Marks on the sheet, and where things come from.

/** @param {Layer} layer */
function placesCame(layer) {
  // The layer takes its places a moment earlier, in the same turn.
  queueMicrotask(() => {
    renderMarks();
    if (layer !== desk.layers[0] || !state) return;
    contents.update(layer.places, state.origins);
    if (pending.length === 0) return;
    const goal = pending;
    pending = [];
    scrollToThings(goal);
  });
}

/** @param {string[]} goal @returns {boolean} whether they are on the page that is shown */
function scrollToThings(goal) {
  const boxes = goal.flatMap((key) => boxesOf(desk.layers[0].places, key));
  if (boxes.length > 0) desk.reveal(desk.panes[0], boxes);
  return boxes.length > 0;
}

/** Shows the places of a message, a pair or a thing of the list. @param {string[]} goal */
async function show(goal) {
  here = marked = goal;
  together = true;
  note = "";
  const shown = scrollToThings(goal);
  renderPlace();
  if (shown || !view || !state) return;
  const now = view;
  for (let other = 1; other <= (editionOf(state, now.edition)?.pages ?? 1); other += 1) {
    if (other === now.page) continue;
    const places = await loadPlaces({ ...now, page: other }, newest).catch(() => []);
    if (marked !== goal || view !== now) return;
    if (!places.some((one) => goal.includes(one[4]))) continue;
    pending = goal;
    setView({ page: other });
    note = WORDS.onPage(other);
    renderPlace();
    return;
  }
  note = WORDS.notOnSheet;
  renderPlace();
}

/** Another of the things that the card names. @param {string} key */
function choose(key) {
  here = [key, ...here.filter((one) => one !== key)];
  if (!together) marked = [key];
  scrollToThings([key]);
  renderPlace();
}

/** @param {Pane} pane @param {{x: number, y: number}} point in mm */
function pick(pane, point) {
  const layer = pane.layers[pane.top] ?? desk.layers[0];
  const found = hits(layer.places, point.x, point.y);
  here = found.length > 0 ? found : hits(layer.places, point.x, point.y, 3 / desk.scale);
  marked = here.slice(0, 1);
  together = false;
  note = "";
  if (here.length > 0) page.setPanel(true);
  renderPlace();
}

function forget() {
  here = marked = [];
  note = "";
  renderPlace();
}

/** @param {boolean} on */
function markAll(on) {
  markChanges = on;
  remember("sessionStorage", "markChanges", on);
  renderMarks();
}
