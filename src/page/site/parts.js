// The parts on a colour's card, with their counts.

const PX_A_MM = 6;

/** Changes a count everywhere it is shown. @param {Host} host @param {string} colour @param {string} part @param {number} count */
function setCount(host, colour, part, count) {
  const kept = keepOrder(withCount(order, colour, part, Math.max(0, Math.min(MOST_COUNT, count))));
  if (!kept) announce(say("page_not_kept"));
  host.counted();
}

/**
 * A field for a count, with a step up and down.
 * @param {Host} host @param {string} colour @param {string} part @param {string} label
 */
function counter(host, colour, part, label) {
  const field = make("input", {
    type: "text", inputmode: "numeric", pattern: "[0-9]*", maxlength: 6, "aria-label": label,
    value: countOf(colour, part) || "", placeholder: "0", "data-count": `${colour}:${part}`,
  });
  const set = (/** @type {number} */ n) => {
    setCount(host, colour, part, n);
    field.value = String(countOf(colour, part) || "");
  };
  field.addEventListener("change", () => set(readCount(field.value)));
  field.addEventListener("keydown", (event) => {
    const step = event.key === "ArrowUp" ? 1 : event.key === "ArrowDown" ? -1 : 0;
    if (step === 0) return;
    event.preventDefault();
    set(readCount(field.value) + step);
  });
  return make("span", { class: "count" },
    button("−", () => set(readCount(field.value) - 1), { "aria-label": say("page_less", { what: label }) }),
    field,
    button("+", () => set(readCount(field.value) + 1), { "aria-label": say("page_one_more", { what: label }) }));
}

/** @param {Host} host @param {number} index @param {number} p */
function partFigure(host, index, p) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  const part = /** @type {Part} */ (page.parts[p]);
  const number = part.numbers[page.order_from] ?? "";
  const others = part.numbers.filter((n, i) => n && i !== page.order_from);
  const size = pick(part.size);
  const label = say("page_count_of", { part: [number, pick(part.title), size].filter((t) => t).join(" ") });
  return make("li", { class: "part" },
    make("span", { class: "art" }, pictureOf(index, part, PX_A_MM)),
    make("span", { class: "no" }, number || say("page_no_number"),
      others.length > 0 ? make("span", { class: "no2" }, ` ${others.join(" · ")}`) : null),
    make("span", { class: "what" }, pick(part.title), size ? make("i", {}, ` ${size}`) : null),
    counter(host, colour.key, part.key, label));
}

/** @param {Host} host @param {number} index */
function partList(host, index) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  if (colour.parts.length === 0) return make("p", { class: "aside" }, say("page_no_parts"));
  return make("ul", { class: "parts" }, ...colour.parts.filter((p) => page.parts[p]).map((p) => partFigure(host, index, p)));
}
