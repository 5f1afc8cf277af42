// What a paper makes of the colours.

/** @param {ShowActions & {choose: (name: string) => void, compare: (name: string) => void}} actions */
function paperSection(actions) {
  const choose = chooser("paper", WORDS.choosePaper, actions.choose);
  const beside = make("button", { type: "button", click: () => actions.compare(name) }, WORDS.comparePaper);
  const report = make("div", { tabindex: -1 });
  const element = make("div", { class: "section" }, make("div", { class: "paper-tools" }, choose.element, beside), report);
  let name = "";

  return {
    element,
    /** @param {State} state @param {string} chosen @param {PaperReport | null} found @param {string} trouble */
    update(state, chosen, found, trouble) {
      name = chosen;
      choose.update([{ value: "", label: "–" }, ...state.papers.map((one) => ({ value: one, label: one }))], chosen);
      beside.hidden = chosen === "";
      rebuild(report, () => {
        if (!found || chosen === "") {
          fill(report, make("p", { class: "empty" }, trouble || (chosen ? WORDS.paperBusy : WORDS.noPaper)));
          return;
        }
        fill(report, figureList(found.figures ?? []),
          (found.pairs ?? []).length > 0 && make("h2", {}, WORDS.paperPairs),
          make("ul", { class: "entries pairs" }, ...(found.pairs ?? []).map((pair) => entry(
            actions, `paper ${pair.first} ${pair.second}`, [pair.first, pair.second], pairName(pair, state.origins),
            [make("span", { class: "pair-value" }, make("span", { "aria-hidden": "true" }, WORDS.differs(pair.before, pair.after)),
              make("span", { class: "unseen" }, WORDS.differsSpoken(pair.before, pair.after))),
            pair.verdict && make("p", { class: "help" }, pair.verdict)]))));
      });
    },
  };
}
