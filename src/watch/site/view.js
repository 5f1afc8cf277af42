// Which sheet is shown: the choice of the user, made to fit what there is.

/** @param {unknown} raw @returns {State} */
function readState(raw) {
  const given = /** @type {Partial<State>} */ (typeof raw === "object" && raw !== null ? raw : {});
  return {
    revision: given.revision ?? 0, sheet_revision: given.sheet_revision ?? 0, good: given.good ?? false,
    sheet: given.sheet ?? "", title: given.title ?? "", editions: given.editions ?? [], spellings: given.spellings ?? [],
    styles: given.styles ?? [], releases: given.releases ?? ["now"], papers: given.papers ?? [],
    findings: given.findings ?? [], look_alikes: given.look_alikes ?? [], paper: given.paper ?? null,
    changes: given.changes ?? [], changes_from: given.changes_from ?? 0, origins: given.origins ?? {},
    pieces: given.pieces ?? false,
  };
}

/** @template T @param {T[]} list @param {T} wanted @param {T} otherwise @returns {T} */
const oneOf = (list, wanted, otherwise) => (list.includes(wanted) ? wanted : list[0] ?? otherwise);

/** @param {State} state @param {string} name @returns {Edition | undefined} */
const editionOf = (state, name) => state.editions.find((edition) => edition.name === name);

/** The nearest view to the wanted one that the state has. @param {State} state @param {Partial<View>} wanted @returns {View} */
function fittingView(state, wanted) {
  const edition = oneOf(state.editions.map((one) => one.name), wanted.edition ?? "", "");
  const found = editionOf(state, edition);
  const spellings = found?.spellings ?? state.spellings.map((one) => one.tag);
  return {
    edition,
    spelling: oneOf(spellings, wanted.spelling ?? "", ""),
    style: oneOf(state.styles, wanted.style ?? "", ""),
    release: oneOf(state.releases, wanted.release ?? "now", "now"),
    page: Math.min(Math.max(1, Math.trunc(wanted.page ?? 1) || 1), Math.max(1, found?.pages ?? 1)),
    paper: wanted.paper && state.papers.includes(wanted.paper) ? wanted.paper : "",
  };
}

/** What a view can be compared with, without itself. @param {State} state @param {View} view @returns {Against[]} */
function comparisons(state, view) {
  const spellings = editionOf(state, view.edition)?.spellings ?? [];
  /** @param {Aspect} aspect @param {string[]} values @returns {Against[]} */
  const others = (aspect, values) => values.filter((value) => value !== view[aspect]).map((value) => ({ aspect, value }));
  return [...others("style", state.styles), ...others("spelling", spellings), ...others("release", state.releases),
    ...others("paper", state.papers)];
}

/** @param {View} view @param {Against} against @returns {View} */
function otherView(view, against) {
  return { ...view, [against.aspect]: against.value };
}

/** @param {View} view @param {number} revision */
function viewQuery(view, revision) {
  const fields = new URLSearchParams({
    edition: view.edition, spelling: view.spelling, style: view.style, release: view.release,
    page: String(view.page), revision: String(revision),
  });
  if (view.paper) fields.set("paper", view.paper);
  return fields.toString();
}

/** The short name of one side of a comparison. @param {State} state @param {View} view @param {Aspect} aspect */
function sideName(state, view, aspect) {
  switch (aspect) {
    case "style": return view.style;
    case "spelling": return state.spellings.find((one) => one.tag === view.spelling)?.name ?? view.spelling;
    case "release": return WORDS.releases[view.release] ?? view.release;
    case "paper": return view.paper ? WORDS.onPaper(view.paper) : WORDS.releases.now;
  }
}

/** The size of an SVG in mm, from the beginning of its text. @param {string} head @returns {Size | null} */
function sizeInMm(head) {
  const root = /<svg\b[^>]*>/.exec(head)?.[0] ?? "";
  const width = /\swidth="([\d.]+)mm"/.exec(root);
  const height = /\sheight="([\d.]+)mm"/.exec(root);
  const size = width && height ? { width: Number(width[1]), height: Number(height[1]) } : null;
  return size && size.width > 0 && size.height > 0 ? size : null;
}
