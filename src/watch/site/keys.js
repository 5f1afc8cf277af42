// Keys while the sheet has the focus, and the dialog that lists them.

/**
 * @typedef {object} KeyActions
 * @property {() => void} fitWidth
 * @property {() => void} trueSize
 * @property {() => void} flip
 * @property {() => void} forget
 * @property {(by: 1 | -1) => void} turnPage
 * @property {(pane: Pane, point: {x: number, y: number}) => void} pick
 */

/** @param {Desk} desk @param {Pane} pane @param {KeyActions} actions */
function attachKeys(desk, pane, actions) {
  /** @type {Record<string, () => void>} */
  const plain = {
    "+": () => desk.step(1), "=": () => desk.step(1), "-": () => desk.step(-1), "−": () => desk.step(-1),
    "0": () => desk.setMode("fit"), "1": actions.trueSize, w: actions.fitWidth, f: actions.flip,
    Enter: () => actions.pick(pane, pane.pointUnder(pane.window.width / 2, pane.window.height / 2)),
  };
  pane.scroller.setAttribute("aria-keyshortcuts", "+ - 0 1 W F Enter");
  pane.scroller.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey) return;
    const turn = event.altKey && (event.key === "PageUp" ? -1 : event.key === "PageDown" ? 1 : 0);
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const action = turn ? () => actions.turnPage(turn) : event.altKey ? undefined : plain[key];
    if (!action) return;
    event.preventDefault();
    action();
  });
}

function keysDialog() {
  const rows = WORDS.keysList.flatMap(([key, meaning]) => [make("dt", {}, key), make("dd", {}, meaning)]);
  const dialog = make("dialog", { "aria-labelledby": "keys-title", class: "keys-dialog" },
    make("form", { method: "dialog" },
      make("h2", { id: "keys-title" }, WORDS.keysTitle), make("p", {}, WORDS.keysText),
      make("dl", {}, ...rows),
      make("div", { class: "dialog-buttons" }, make("button", { class: "primary" }, WORDS.close))));
  return { element: dialog, open: () => dialog.showModal() };
}
