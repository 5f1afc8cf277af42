// The list of what was found. Only what can be seen is made at once; the rest follows as one scrolls.

const FIRST_ROWS = 9;
const MORE_ROWS = 48;

/** @typedef {{ title: string, note: string, items: number[] }} Group */

/** @type {{ groups: Group[], state: State, far: number[] | null, shown: number, total: number, idle: number, rest: number }} */
const list = { groups: [], state: emptyState(), far: null, shown: 0, total: 0, idle: 0, rest: 0 };

/** Families while nothing is sought, one group in the order of the find otherwise. @param {number[]} items @param {State} state @param {number[] | null} far @returns {Group[]} */
function grouped(items, state, far) {
  if (state.find.trim() || far) return items.length > 0 ? [{ title: "", note: "", items }] : [];
  return page.families.flatMap((family, f) => {
    const own = items.filter((i) => page.colours[i]?.family === f);
    return own.length > 0 ? [{ title: pick(family.title), note: pick(family.note), items: own }] : [];
  });
}

/** @param {number[]} items @param {State} state @param {number[] | null} far */
function showList(items, state, far) {
  Object.assign(list, { groups: grouped(items, state, far), state, far, shown: 0, total: items.length });
  byId("results").replaceChildren(...nextRows(FIRST_ROWS, null));
  drawSoon();
  window.clearTimeout(list.rest);
  // The first rows are painted before the others are made.
  list.rest = window.setTimeout(fillView, 30);
}

/** As many rows as can be seen. */
function fillView() {
  const room = Math.min(120, Math.ceil((window.innerWidth * window.innerHeight) / 48000));
  if (list.shown < Math.min(room, list.total)) showMore(room - list.shown);
}

/** Groups with the next rows; `last` is the group on the page that goes on. @param {number} count @param {Element | null} last @returns {Element[]} */
function nextRows(count, last) {
  /** @type {Element[]} */
  const made = [];
  const near = nearOf(list.state);
  let before = 0;
  for (const group of list.groups) {
    const from = Math.max(0, list.shown - before);
    before += group.items.length;
    if (from >= group.items.length || count <= 0) continue;
    const part = group.items.slice(from, from + count);
    const rows = part.map((index) => {
      const row = rowOf(index);
      dressRow(row, index, list.state, list.far, near);
      return row;
    });
    if (from > 0 && last) last.append(...rows);
    else made.push(newGroup(group, rows));
    list.shown += part.length;
    count -= part.length;
  }
  return made;
}

/** @param {Group} group @param {HTMLLIElement[]} rows */
function newGroup(group, rows) {
  const rowList = make("ul", { class: "rows" }, ...rows);
  if (!group.title) return make("section", {}, rowList);
  const count = sayCount("page_count", group.items.length);
  const head = make("h2", {}, group.title, " ", make("i", {}, [group.note, count].filter((t) => t).join(" · ")));
  return make("section", {}, head, rowList);
}

/** @param {number} count */
function showMore(count) {
  const results = byId("results");
  const lists = results.querySelectorAll(".rows");
  results.append(...nextRows(count, lists[lists.length - 1] ?? null));
  drawSoon();
}

/** Everything, to be printed. */
function showAll() {
  if (list.shown < list.total) showMore(list.total);
  for (const row of /** @type {NodeListOf<HTMLElement>} */ (byId("results").querySelectorAll(".row"))) drawRow(row, list.state.part);
}

/** Drawings follow when there is time, so that typing never waits for them. */
function drawSoon() {
  window.clearTimeout(list.idle);
  list.idle = window.setTimeout(drawSome, 120);
}

function drawSome() {
  const wanted = list.state.part;
  const until = performance.now() + 12;
  for (const row of /** @type {NodeListOf<HTMLElement>} */ (byId("results").querySelectorAll(".row"))) {
    if (row.dataset.part && (!wanted || row.dataset.part === wanted)) continue;
    drawRow(row, wanted);
    if (performance.now() > until) {
      list.idle = window.setTimeout(drawSome, 24);
      return;
    }
  }
}

/** More rows as one scrolls, and arrow keys from row to row. */
function watchList() {
  const watcher = new IntersectionObserver(
    (seen) => {
      if (seen.some((s) => s.isIntersecting) && list.shown < list.total) {
        showMore(MORE_ROWS);
        // Where the end is still in view, the observer says nothing new.
        watcher.unobserve(end);
        watcher.observe(end);
      }
    },
    { rootMargin: "600px" },
  );
  const end = make("div", { class: "end" });
  byId("results").after(end);
  watcher.observe(end);
  byId("results").addEventListener("keydown", (event) => {
    const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (step === 0 || event.ctrlKey || event.metaKey || event.altKey) return;
    const names = /** @type {HTMLElement[]} */ ([...byId("results").querySelectorAll("a.nm")]);
    const row = document.activeElement?.closest(".row");
    const at = names.findIndex((name) => name.closest(".row") === row);
    if (at < 0) return;
    event.preventDefault();
    (at + step < 0 ? byId("find") : names[at + step])?.focus();
  });
}
