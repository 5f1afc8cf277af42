// Small helpers to build the page. Text always goes in as text.

/** @typedef {Node | string | null | undefined | false} Child */

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} [attributes]
 *   functions are listeners; true sets an empty attribute; false and null leave it out
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
  }
  fill(element, ...children);
  return element;
}

/** @param {Element} element @param {...Child} children */
function fill(element, ...children) {
  element.replaceChildren(...children.filter((child) => child !== null && child !== undefined && child !== false)
    .map((child) => /** @type {Node | string} */ (child)));
}

/** @param {Element} element @param {string} text */
function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/**
 * Builds a region anew without losing the reader's place: focus and scrolling stay.
 * @param {HTMLElement} region @param {() => void} build
 */
function rebuild(region, build) {
  const active = document.activeElement;
  const key = active instanceof HTMLElement && region.contains(active) ? active.dataset.key : undefined;
  const had = key !== undefined || (active !== null && active !== region && region.contains(active));
  const scroller = region.closest(".scrolls");
  const top = scroller ? scroller.scrollTop : 0;
  build();
  if (scroller) scroller.scrollTop = top;
  if (!had) return;
  const again = key === undefined ? null : region.querySelector(`[data-key="${CSS.escape(key)}"]`);
  if (again instanceof HTMLElement) again.focus({ preventScroll: true });
  else region.focus({ preventScroll: true });
}

/** A small square of a colour. @param {string | undefined} value */
function swatch(value) {
  const chip = make("span", { class: "swatch", "aria-hidden": "true" });
  if (value && /^#[0-9a-f]{6}$/i.test(value)) chip.style.backgroundColor = value;
  else chip.classList.add("none");
  return chip;
}
