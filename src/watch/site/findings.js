// The messages: errors, warnings and notes.

/** @param {ShowActions} actions */
function findingsSection(actions) {
  const element = make("div", { class: "section", tabindex: -1 });

  /** @param {Finding} finding */
  const item = (finding) => entry(actions, findingKey(finding), finding.origins,
    [make("span", { class: "unseen" }, `${WORDS.severityOne[finding.severity]}: `), finding.message],
    [...spotOf(finding, finding.from, finding.to),
      finding.help && make("p", { class: "help" }, make("span", { class: "unseen" }, `${WORDS.help} `), finding.help)],
    finding.severity);

  return {
    element,
    /** @param {State} state */
    update(state) {
      rebuild(element, () => {
        const groups = /** @type {const} */ (["error", "warning", "note"]).flatMap((severity) => {
          const found = state.findings.filter((finding) => finding.severity === severity);
          return found.length === 0 ? [] : [make("section", {},
            make("h2", {}, WORDS.severity[severity], make("span", { class: "count" }, String(found.length))),
            make("ul", { class: "entries" }, ...found.map(item)))];
        });
        fill(element, ...(groups.length > 0 ? groups : [make("p", { class: "empty" }, WORDS.noMessages)]));
      });
    },
  };
}
