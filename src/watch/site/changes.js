// What the last change changed on the sheet.

/** @param {ShowActions & {markAll: (on: boolean) => void}} actions @param {boolean} marked */
function changesSection(actions, marked) {
  const check = make("input", { type: "checkbox", id: "mark-changes", change: () => actions.markAll(check.checked) });
  check.checked = marked;
  const tools = make("p", { class: "check" }, check, make("label", { for: "mark-changes" }, WORDS.markChanges));
  const list = make("div", { tabindex: -1 });
  const element = make("div", { class: "section" }, list);
  return {
    element,
    /** @param {State} state */
    update(state) {
      if (state.changes.length > 0) fill(element, tools, list);
      else fill(element, list);
      rebuild(list, () => fill(list, ...(state.changes.length === 0
        ? [make("p", { class: "empty" }, state.changes_from === 0 ? WORDS.firstSheet : WORDS.noChanges)]
        : [make("p", { class: "intro" }, WORDS.changesIntro),
          make("ul", { class: "entries" }, ...state.changes.map((change) => {
            const origin = change.origin ? state.origins[change.origin] : undefined;
            return entry(actions, `change ${change.origin} ${change.text}`, change.origin ? [change.origin] : [],
              [...(origin?.value ? [swatch(origin.value)] : []), make("span", {}, change.text)], origin ? spotOf(origin).slice(0, 1) : []);
          }))])));
    },
  };
}
