// Colours that are easily confused.

/** @param {Pair} pair @param {Record<string, Origin>} origins */
function pairName(pair, origins) {
  return [
    make("span", { class: "pair-swatches", "aria-hidden": "true" }, swatch(origins[pair.first]?.value), swatch(origins[pair.second]?.value)),
    make("span", {}, WORDS.pair(pair.first_name, pair.second_name)),
  ];
}

/** @param {ShowActions} actions */
function lookalikesSection(actions) {
  const element = make("div", { class: "section", tabindex: -1 });
  return {
    element,
    /** @param {State} state */
    update(state) {
      rebuild(element, () => fill(element, ...(state.look_alikes.length === 0
        ? [make("p", { class: "empty" }, WORDS.noLooks)]
        : [make("p", { class: "intro" }, WORDS.looksIntro),
          make("ul", { class: "entries pairs" }, ...state.look_alikes.map((pair) => entry(
            actions, `pair ${pair.first} ${pair.second}`, [pair.first, pair.second], pairName(pair, state.origins),
            [make("span", { class: "pair-value" }, pair.difference.toFixed(1)),
              pair.words && make("p", { class: "help" }, WORDS.secondIs(pair.words))])))])));
    },
  };
}
