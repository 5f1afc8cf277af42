// Which sheets are shown: fetches them and lays them on the desk.

/** @param {Partial<View>} change */
function setView(change) {
  Object.assign(wanted, change);
  remember("sessionStorage", "view", wanted);
  refit();
}

/** @param {Against | null} other */
function setAgainst(other) {
  against = other;
  refit();
}

/** @param {"beside" | "blink"} arrangement */
function setArrangement(arrangement) {
  arranged = arrangement;
  refit();
}

/** @param {1 | -1} by */
function turnPage(by) {
  if (view) setView({ page: view.page + by });
}

/** Makes the choice fit the state, and fetches what is missing. */
function refit() {
  if (!state) return;
  const fitting = fittingView(state, wanted);
  if (view && state.editions.length === 0) return;
  view = fitting;
  wanted.page = fitting.page;
  const chosen = against;
  if (chosen && !comparisons(state, fitting).some((one) => one.aspect === chosen.aspect && one.value === chosen.value)) against = null;
  if (!against || arranged !== "blink") blinker.hold();
  desk.arrange(against ? arranged : "single");
  if (!against) desk.layers[1].clear();
  renderTools();
  figures.update(state, fitting);
  fetchSheets();
}

function fetchSheets() {
  if (!state || !view || newest === 0 || view.edition === "") return;
  void fetchSheet(desk.layers[0], view);
  if (against) void fetchSheet(desk.layers[1], otherView(view, against));
}

/** @param {Layer} layer @param {View} shown */
async function fetchSheet(layer, shown) {
  if (!state) return;
  const edition = editionOf(state, shown.edition);
  const alt = [state.spellings.find((one) => one.tag === shown.spelling)?.name ?? shown.spelling, shown.style,
    (edition?.pages ?? 1) > 1 ? WORDS.pageAlt(shown.page, edition?.pages ?? 1) : ""].filter(Boolean).join(", ");
  const pane = desk.arrangement === "beside" && layer === desk.layers[1] ? desk.panes[1] : desk.panes[0];
  layer.describe(WORDS.sheetAlt(state.title, shown.edition, alt));
  const revision = newest;
  drawing += 1;
  try {
    const came = await layer.load(shown, revision, edition ?? null, state.pieces, renderStatus);
    if (!came) return;
    pane.say("");
    pane.raise(pane.top);
    layer.setMarks([]);
    desk.refresh();
    renderStale();
    measureUpdate(revision);
    loadPlaces(shown, revision).then(() => placesCame(layer), () => undefined);
  } catch (error) {
    sheetFailed(layer, pane, error);
  } finally {
    drawing -= 1;
    renderStatus();
  }
}

/** @param {Layer} layer @param {Pane} pane @param {unknown} error */
function sheetFailed(layer, pane, error) {
  if (error instanceof Refusal && error.status === 409) {
    setTimeout(() => void fetchState(), 100);
    return;
  }
  if (error instanceof Refusal && error.status === 404 && link !== "gone") layer.clear();
  if (link === "open") pane.say(error instanceof Refusal && error.message ? error.message : WORDS.failed);
}

/** How long it took from the news to the painted sheet: for tools that measure. @param {number} revision */
function measureUpdate(revision) {
  const start = performance.getEntriesByName(`look ${revision}`, "mark").at(0);
  if (!start) return;
  requestAnimationFrame(() => setTimeout(() => {
    performance.measure(`update ${revision}`, { start: start.startTime, end: performance.now() });
    performance.clearMarks(start.name);
  }));
}
