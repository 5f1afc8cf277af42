// News from the program.

/** @param {State} next */
function takeState(next) {
  if (state && next.revision < state.revision) return;
  const before = state;
  state = next;
  newest = Math.max(newest, next.sheet_revision);
  refit();
  renderStale();
  renderStatus();
  const tally = tallies(next.findings);
  page.setTitle(next.title, WORDS.windowTitle(next.title || next.sheet, tally.error));
  if (differs(before, next, ["findings"])) findings.update(next);
  if (differs(before, next, ["look_alikes", "origins"])) looks.update(next);
  if (differs(before, next, ["changes", "changes_from", "origins"])) changes.update(next);
  if (differs(before, next, ["origins"])) {
    contents.update(desk.layers[0].places, next.origins);
    renderPlace();
  }
  if (differs(before, next, ["changes"])) renderMarks();
  panelTabs.setCount("messages", next.findings.length, tally.error ? "error" : tally.warning ? "warning" : "");
  panelTabs.setCount("looks", next.look_alikes.length);
  panelTabs.setCount("changes", next.changes.length);
  panelTabs.setShown("paper", next.papers.length > 0 || next.paper !== null);
  if (before === null && next.paper) {
    paperName = next.paper.name;
    paperReport = next.paper;
  }
  if (before === null || before.sheet_revision !== next.sheet_revision) choosePaper(paperName);
  standing.say(announcement(before, next));
}

/** @param {string} name */
async function choosePaper(name) {
  if (!state) return;
  if (name !== paperName) paperReport = null;
  paperName = name;
  paperTrouble = "";
  papers.update(state, name, paperReport, "");
  if (!name || newest === 0) return;
  const signal = AbortSignal.timeout(60_000);
  try {
    const query = new URLSearchParams({ name, revision: String(newest) });
    const answer = await untilDrawn(() => ask(`./paper?${query}`, signal), signal);
    const report = await answer.json();
    if (paperName === name) paperReport = report;
  } catch (error) {
    if (error instanceof Refusal && error.status === 409) return;
    paperTrouble = error instanceof Refusal && error.message ? error.message : WORDS.failed;
  }
  if (paperName === name) papers.update(state, name, paperReport, paperTrouble);
}

async function fetchState() {
  stateComing?.abort();
  const controller = new AbortController();
  stateComing = controller;
  try {
    const answer = await ask("./state", controller.signal);
    takeState(readState(await answer.json()));
  } catch (error) {
    if (!wasAborted(error)) renderStatus();
  }
}

/** @param {Look} look */
function onLook(look) {
  if (state && look.revision === state.revision && look.sheet_revision === state.sheet_revision) return;
  if (look.good && look.sheet_revision > newest) {
    newest = look.sheet_revision;
    performance.mark(`look ${newest}`);
    fetchSheets();
  }
  void fetchState();
}
