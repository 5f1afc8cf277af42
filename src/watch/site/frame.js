// The frame of the page: heading, desk, panel.

/** @param {Record<"toolbar" | "desk" | "zoombar" | "place" | "status" | "voice" | "tabs", HTMLElement>} pieces @param {HTMLElement[]} panels @param {HTMLElement[]} dialogs @param {() => void} openKeys */
function frame(pieces, panels, dialogs, openKeys) {
  const title = make("h1", {}, WORDS.program);
  const shown = remembered("localStorage", "panel") !== false;
  const toggle = make("button", {
    type: "button", id: "panel-toggle", "aria-expanded": String(shown), "aria-controls": "panel",
    click: () => setPanel(toggle.getAttribute("aria-expanded") !== "true"),
  }, WORDS.panelToggle);
  const panel = make("aside", { id: "panel", class: "panel", "aria-label": WORDS.panelArea, hidden: !shown },
    pieces.place, pieces.tabs, ...panels);
  const banner = make("p", { class: "banner", hidden: true });
  const workplace = make("main", { class: "workplace", "aria-label": WORDS.sheetArea },
    make("div", { class: "view" }, pieces.desk, banner), pieces.zoombar, pieces.voice);
  fill(/** @type {HTMLElement} */ (document.getElementById("page")),
    make("header", {}, make("div", { class: "heading" }, title, pieces.status), pieces.toolbar,
      make("div", { class: "end" }, make("button", { type: "button", id: "keys-button", click: openKeys }, WORDS.keysButton), toggle)),
    make("div", { class: "middle" }, workplace, panel),
    ...dialogs);

  /** @param {boolean} on */
  function setPanel(on) {
    toggle.setAttribute("aria-expanded", String(on));
    panel.hidden = !on;
    remember("localStorage", "panel", on);
  }

  return {
    setPanel,
    /** @param {string} text @param {string} windowTitle */
    setTitle(text, windowTitle) {
      setText(title, text || WORDS.program);
      document.title = windowTitle;
    },
    /** @param {string} text empty: none */
    setBanner(text) {
      setText(banner, text);
      banner.hidden = text === "";
    },
  };
}
