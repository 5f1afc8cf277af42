// The dialog in which the user lays a ruler on the screen.

/** @param {(kept: {devicePixelsPerMm: number} | null) => void} done null: cancelled */
function rulerDialog(done) {
  let scale = ASSUMED;
  let mm = 100;
  const bar = make("div", { class: "ruler-bar", "aria-hidden": "true" });
  const barName = make("p", { class: "ruler-name", "aria-hidden": "true" });
  const narrow = make("p", { class: "ruler-narrow" }, WORDS.rulerTooWide);
  const slide = make("input", {
    type: "range", min: 2, max: 12, step: 0.01, "aria-label": WORDS.rulerSlide,
    input: () => set(Number(slide.value)),
  });
  const field = make("input", {
    type: "number", min: 100, max: 1200, step: 0.5, id: "ruler-pixels",
    change: () => set(Number(field.value) / mm),
  });
  /** @param {string} sign @param {string} name @param {number} by in pixels */
  const nudge = (sign, name, by) =>
    make("button", { type: "button", class: "square", "aria-label": name, click: () => set(scale + by / mm) }, sign);
  /** @type {{devicePixelsPerMm: number} | null} */
  let kept = null;
  const form = make("form", {
    method: "dialog",
    submit: () => {
      kept = calibration(scale * mm, mm, devicePixelRatio);
    },
  },
  make("h2", { id: "ruler-title" }, WORDS.rulerTitle),
  make("p", { id: "ruler-text" }, WORDS.rulerText), narrow,
  make("div", { class: "ruler-stage" }, bar, barName),
  make("div", { class: "ruler-controls" },
    nudge("−", WORDS.rulerShorter, -0.5), slide, nudge("+", WORDS.rulerLonger, 0.5)),
  make("div", { class: "ruler-field" }, make("label", { for: "ruler-pixels" }, WORDS.rulerField), field),
  make("div", { class: "dialog-buttons" },
    make("button", { type: "button", click: () => dialog.close() }, WORDS.cancel),
    make("button", { class: "primary" }, WORDS.keep)));
  const dialog = make("dialog", {
    "aria-labelledby": "ruler-title", "aria-describedby": "ruler-text", class: "ruler-dialog",
    close: () => done(kept),
  }, form);

  /** @param {number} wanted */
  function set(wanted) {
    if (wanted > 0) scale = Math.min(12, Math.max(2, wanted));
    bar.style.setProperty("--mm", String(scale));
    bar.style.setProperty("--length", String(mm));
    setText(barName, mm === 100 ? WORDS.rulerBar : WORDS.rulerHalfBar);
    slide.value = String(scale);
    field.value = String(Math.round(scale * mm * 2) / 2);
  }

  return {
    element: dialog,
    /** @param {number} current */
    open(current) {
      kept = null;
      dialog.showModal();
      mm = barLength(innerWidth - 96, current);
      narrow.hidden = mm === 100;
      set(current);
    },
  };
}
