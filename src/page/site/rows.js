// One row of the list: a part, the value, names and numbers.

/** Rows are made once for each spelling and used again. @type {Map<number, HTMLLIElement>} */
const rowCache = new Map();

/** @type {HTMLLIElement | null} */
let rowMould = null;

function rowPattern() {
  const li = make("li", { class: "row" },
    make("span", { class: "pic", "aria-hidden": "true" }),
    make("span", { class: "chip" }, make("span", { class: "picked" })),
    make("span", { class: "name" }, make("a", { class: "nm" })), make("span", { class: "no" }),
    make("span", { class: "on" }), make("span", { class: "no2" }),
    make("span", { class: "why" }),
    make("button", { type: "button", class: "lay" }));
  return li;
}

/** @param {number} index @returns {HTMLLIElement} */
function newRow(index) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  rowMould ??= rowPattern();
  const li = /** @type {HTMLLIElement} */ (rowMould.cloneNode(true));
  const [, chip, title, no, on, no2, , lay] = /** @type {HTMLElement[]} */ ([...li.children]);
  const first = page.order_from;
  const others = page.listings.map((_, i) => i).filter((i) => i !== first && (colour.names[i] || colour.numbers[i]));
  li.dataset.i = String(index);
  /** @type {HTMLElement} */ (chip).classList.add(valueClass(index));
  const name = nameOf(colour);
  const link = /** @type {HTMLElement} */ (title?.firstElementChild);
  link.textContent = name;
  link.setAttribute("href", `#colour=${colour.key}`);
  if (colour.new) link.after(make("i", { class: "fresh" }, say("page_new_row")));
  /** @type {HTMLElement} */ (no).textContent = colour.numbers[first] ?? "";
  for (const i of others) {
    /** @type {HTMLElement} */ (on).append(make("span", {}, pick(colour.names[i]) || "–"));
    /** @type {HTMLElement} */ (no2).append(make("span", {}, colour.numbers[i] ?? "–"));
  }
  /** @type {HTMLElement} */ (lay).setAttribute("aria-label", say("page_lay", { name }));
  /** @type {HTMLElement} */ (lay).title = say("page_lay", { name });
  return li;
}

/** @param {number} index */
function rowOf(index) {
  let row = rowCache.get(index);
  if (!row) rowCache.set(index, (row = newRow(index)));
  return row;
}

function forgetRows() {
  rowCache.clear();
}

/**
 * What of a row depends on the find.
 * @param {HTMLLIElement} row @param {number} index @param {State} state @param {number[] | null} far @param {string} near
 */
function dressRow(row, index, state, far, near) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  const [, chip, , , , , why, lay] = /** @type {HTMLElement[]} */ ([...row.children]);
  const picked = /** @type {HTMLElement} */ (chip?.firstElementChild);
  const value = near ? `#${near}` : "";
  if (row.dataset.near !== value) {
    row.dataset.near = value;
    row.classList.toggle("split", near !== "");
    picked.style.background = value;
  }
  const words = [];
  if (far) words.push(say("page_far", { n: sayNumber(far[index] ?? 0, 1) }));
  if (state.find || far) words.push(pick(page.families[colour.family]?.title));
  if (state.find && colour.also?.length) words.push(say("page_also_row", { names: colour.also.map(pick).join(", ") }));
  const text = words.join(" · ");
  if (why && why.textContent !== text) why.textContent = text;
  const pressed = String(state.beside.includes(colour.key));
  if (lay && lay.getAttribute("aria-pressed") !== pressed) lay.setAttribute("aria-pressed", pressed);
}

/** Draws the part of a row, if that is not done. @param {HTMLElement} row @param {string} wanted */
function drawRow(row, wanted) {
  const index = Number(row.dataset.i);
  const colour = page.colours[index];
  const place = row.firstElementChild;
  const part = colour && shownPart(colour, wanted);
  if (!part || !place || row.dataset.part === part.key) return;
  row.dataset.part = part.key;
  place.replaceChildren(pictureOf(index, part, 0));
}
