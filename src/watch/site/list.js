// Pieces that several sections of the panel share.

/**
 * @typedef {object} ShowActions
 * @property {(keys: string[]) => void} show  marks things on the sheet and scrolls to them
 */

/** Place and text of a line. @param {Spot} spot @param {number} [from] @param {number} [to] */
function spotOf(spot, from = 0, to = 0) {
  const where = WORDS.spot(spot.file, spot.line, spot.column);
  const place = make("p", { class: "spot" }, where);
  if (!spot.text) return [place];
  const [before, marked, after] = excerpt(spot.text, from, to);
  return [place, make("p", { class: "line" }, make("code", {}, before, marked && make("mark", {}, marked), after))];
}

/**
 * An entry that shows things on the sheet: the button carries its name, a click anywhere on it counts.
 * @param {ShowActions} actions @param {string} key @param {string[]} origins @param {(Node | string)[]} name
 * @param {Child[]} rest @param {string} kind
 */
function entry(actions, key, origins, name, rest, kind = "") {
  const show = () => actions.show(origins);
  const head = origins.length > 0
    ? make("button", { type: "button", class: "entry-name", "data-key": key, click: (/** @type {Event} */ event) => {
      event.stopPropagation();
      show();
    } }, ...name, make("span", { class: "unseen" }, `: ${WORDS.showOnSheet}`))
    : make("p", { class: "entry-name" }, ...name);
  return make("li", {
    class: `entry ${kind} ${origins.length > 0 ? "active" : ""}`,
    click: () => {
      // Selecting text to copy it is not a click.
      if (origins.length > 0 && String(getSelection()) === "") show();
    },
  }, head, ...rest);
}

/** @param {Figure[]} figures */
function figureList(figures) {
  return make("dl", { class: "figures" },
    ...figures.map((figure) => make("div", {}, make("dt", {}, figure.label), make("dd", {}, figure.value))));
}

/** The name of a thing within its group. @param {string} what */
function shortName(what) {
  return /^\p{L}+ '([^']+)'$/u.exec(what)?.[1] ?? what;
}
