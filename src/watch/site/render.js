// Brings the page in line with what it knows.

function renderMarks() {
  for (const layer of desk.layers) {
    const changed = markChanges && state ? state.changes.flatMap((change) => (change.origin ? boxesOf(layer.places, change.origin) : [])) : [];
    layer.setMarks([{ boxes: changed, kind: "changed" },
      ...marked.map((key, i) => ({ boxes: boxesOf(layer.places, key), kind: /** @type {"chosen" | "second"} */ (i === 0 ? "chosen" : "second") }))]);
  }
}

function renderPlace() {
  place.update(state?.origins ?? {}, here, together, note);
  contents.choose(marked[0] ?? "");
  renderMarks();
}

function renderTools() {
  if (!state || !view) return;
  tools.update(state, view, against, arranged);
  const sides = against ? [view, otherView(view, against)] : [view];
  const names = sides.map((side) => (state && against ? sideName(state, side, against.aspect) : ""));
  desk.panes.forEach((pane, i) => {
    const name = desk.arrangement === "blink" ? names[blinker.shown] ?? "" : names[i] ?? "";
    pane.caption.hidden = name === "";
    setText(pane.caption, name);
    pane.scroller.setAttribute("aria-label", name ? `${WORDS.sheetArea}: ${name}` : WORDS.sheetArea);
  });
}

function renderStatus() {
  standing.update(link, state, drawing > 0);
  page.setBanner(state !== null && !state.good && state.sheet_revision === 0 && state.revision > 0 ? WORDS.noneYet
    : state !== null && !state.good && state.sheet_revision > 0 ? WORDS.stale : "");
}

function renderStale() {
  desk.setStale(state !== null && !state.good && state.sheet_revision > 0);
}
