// The figures of the plan, for the edition that is shown.

function figuresSection() {
  const element = make("div", { class: "section", tabindex: -1 });
  return {
    element,
    /** @param {State} state @param {View} view */
    update(state, view) {
      const edition = editionOf(state, view.edition);
      rebuild(element, () => fill(element, ...(edition && edition.figures.length > 0
        ? [make("h2", {}, edition.name), figureList(edition.figures)]
        : [make("p", { class: "empty" }, WORDS.noFigures)])));
    },
  };
}
