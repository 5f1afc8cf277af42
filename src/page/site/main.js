// The state, and what follows from it.

/** @type {SearchIndex | null} */
let searchIndex = null;

function theIndex() {
  searchIndex ??= buildIndex(page);
  return searchIndex;
}

/** @type {number[]} */
let foundItems = [];
let writing = 0;

/** The state to keep when a step back is asked for by the page itself. @type {State | null} */
let afterBack = null;

/** @type {Host} */
const host = {
  state: emptyState(),
  go(change, push = false) {
    const before = host.state;
    host.state = { ...before, ...change };
    const dialog = (/** @type {State} */ s) => s.colour || s.view;
    const opened = Boolean(dialog(host.state)) && !dialog(before);
    const closed = !dialog(host.state) && Boolean(dialog(before));
    render(before);
    if (closed && history.state?.opened) {
      // The step that opened the dialog is taken back; what else has changed is kept.
      window.clearTimeout(writing);
      afterBack = host.state;
      history.back();
    } else if (opened || push) {
      // What was typed last belongs to the step before.
      writeState(false, before);
      writeState(true);
    } else {
      window.clearTimeout(writing);
      writing = window.setTimeout(() => writeState(false), change.find === undefined ? 0 : 250);
    }
  },
  counted() {
    showCounts();
    const open = /** @type {HTMLDialogElement} */ (byId("order")).open;
    const focused = document.activeElement?.getAttribute("data-count");
    const inside = focused && document.activeElement?.closest("#order");
    if (open && !inside) refillOrder();
    else if (open) byId("order").querySelector(".total")?.replaceChildren(orderTotal());
  },
};

/** Filled anew, with the focus where it was. */
function refillOrder() {
  const label = document.activeElement?.getAttribute("aria-label");
  fillOrder(host);
  const again = [...byId("order").querySelectorAll("button,input")].find((b) => label && b.getAttribute("aria-label") === label);
  /** @type {HTMLElement | undefined} */ (again)?.focus();
}

function orderTotal() {
  const total = order.reduce((sum, l) => sum + l.count, 0);
  return `${sayCount("page_lines", order.length)}, ${sayCount("page_pieces", total)}`;
}

/** @param {boolean} push @param {State} [state] */
function writeState(push, state = host.state) {
  window.clearTimeout(writing);
  const address = `#${writeAddress(state)}`;
  if (!push && address === (location.hash || "#")) return;
  try {
    if (push) history.pushState({ opened: true }, "", address);
    else history.replaceState(history.state, "", address);
  } catch {
    // Some browsers allow no more than so many changes in a time; the next one comes through.
  }
}

/** @param {State | null} before */
function render(before) {
  const { state } = host;
  const keys = /** @type {const} */ (["find", "family", "finish", "part", "year", "near", "spelling"]);
  if (!before || keys.some((key) => before[key] !== state[key])) renderFound(before);
  else if (before.beside !== state.beside) dressAll();
  if (!before || before.spelling !== state.spelling) renderSpelling();
  showFacets(state);
  showCounts();
  showBesideButtons(state);
  renderDialogs(before);
}

/** @param {State | null} before */
function renderFound(before) {
  const { state } = host;
  if (before && before.spelling !== state.spelling) {
    setSpelling(spellingIndex(state));
    forgetRows();
  }
  const { items, exact, far } = choose(page, theIndex, state);
  foundItems = items;
  showList(items, state, far);
  showHints(host);
  const count = items.length === 0 ? say("page_nothing") : sayCount("page_count", items.length);
  const text = far ? `${count}, ${say("page_nearest")}` : exact || items.length === 0 ? count : `${count}, ${say("page_about")}`;
  if (byId("tally").textContent !== text) byId("tally").textContent = text;
}

/** @param {State} state */
function spellingIndex(state) {
  const tag = state.spelling || recall("spelling");
  return Math.max(0, page.spellings.findIndex((s) => s.tag === tag));
}

function renderSpelling() {
  showWords();
  fillLook();
  fillFacets(host.state);
}

function dressAll() {
  for (const row of /** @type {NodeListOf<HTMLLIElement>} */ (byId("results").querySelectorAll(".row"))) {
    dressRow(row, Number(row.dataset.i), host.state, list.far, nearOf(host.state));
  }
}

function showCounts() {
  byId("n-beside").textContent = host.state.beside.length > 0 ? String(host.state.beside.length) : "";
  byId("n-order").textContent = order.length > 0 ? String(order.length) : "";
}

function watchPage() {
  byId("results").addEventListener("click", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    const row = /** @type {HTMLElement | null} */ (target.closest(".row"));
    const colour = page.colours[Number(row?.dataset.i)];
    if (!row || !colour || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (target.closest(".lay")) toggleBeside(host, colour.key);
    else host.go({ colour: colour.key });
  });
  byId("to-beside").addEventListener("click", () => host.go({ view: "beside" }));
  byId("to-order").addEventListener("click", () => host.go({ view: "order" }));
  document.addEventListener("keydown", (event) => {
    if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target instanceof Element && event.target.closest("input,select,textarea,dialog")) return;
    event.preventDefault();
    byId("find").focus();
  });
  window.addEventListener("hashchange", applyAddress);
  window.addEventListener("popstate", applyAddress);
  window.addEventListener("beforeprint", showAll);
}

function applyAddress() {
  if (afterBack) {
    host.state = afterBack;
    afterBack = null;
    writeState(false);
    return;
  }
  const before = host.state;
  const read = readAddress(page, location.hash);
  const { order: came } = read;
  host.state = { ...read, order: [] };
  if (writeAddress(host.state) !== writeAddress(before)) render(before);
  if (came.length > 0) {
    offerOrder(host, came);
    writeState(false);
  }
}

function start() {
  setPage(JSON.parse(byId("data").textContent || "{}"));
  recallOrder(page);
  host.state = readAddress(page, location.hash);
  const came = host.state.order;
  host.state.order = [];
  setSpelling(spellingIndex(host.state));
  orderListing = Math.max(0, page.listings.findIndex((l) => l.key === recall("listing")));
  if (!recall("listing")) orderListing = page.order_from;
  renderSpelling();
  render(null);
  byId("plain").remove();
  watchFacets(host);
  watchLook(host);
  watchList();
  watchDialogs();
  watchPage();
  if (came.length > 0) {
    offerOrder(host, came);
    writeState(false);
  }
  window.setTimeout(theIndex, 200);
  document.addEventListener("DOMContentLoaded", later);
}

/** What stands after the script in the page, so that one need not wait for it. */
function later() {
  const drawn = JSON.parse(byId("drawings").textContent || "{}");
  page.drawings ??= drawn.looks;
  page.outlines ??= drawn.outlines;
  if (host.state.colour) fillCard(host, page.colours.findIndex((c) => c.key === host.state.colour), foundItems);
  for (const row of /** @type {Iterable<HTMLElement>} */ (rowCache.values())) delete row.dataset.part;
  drawSoon();
  loadFonts();
}

try {
  start();
} catch (fault) {
  // The plain table is a whole page in itself.
  document.documentElement.className = "";
  console.error(fault);
}
