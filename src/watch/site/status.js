// One line that says how things stand, and a quiet voice for screen readers.

function statusLine() {
  const text = make("span", { id: "status-text" });
  const element = make("p", { class: "status", "data-tone": "wait" }, make("span", { class: "dot", "aria-hidden": "true" }), text);
  const voice = make("p", { class: "unseen", role: "status", id: "voice" });
  return {
    element,
    voice,
    /** @param {"connecting" | "open" | "lost" | "gone"} link @param {State | null} state @param {boolean} drawing */
    update(link, state, drawing) {
      const [tone, words] = statusOf(link, state, drawing);
      element.dataset.tone = tone;
      setText(text, words);
    },
    /** @param {string} words */
    say(words) {
      if (words) setText(voice, words);
    },
  };
}

/**
 * @param {"connecting" | "open" | "lost" | "gone"} link @param {State | null} state @param {boolean} drawing
 * @returns {[string, string]}
 */
function statusOf(link, state, drawing) {
  if (link === "gone") return ["bad", WORDS.gone];
  if (link === "lost") return ["bad", WORDS.lost];
  if (state === null) return ["wait", WORDS.connecting];
  if (state.revision === 0) return ["wait", WORDS.reading];
  const tally = tallies(state.findings);
  if (!state.good) return ["bad", state.sheet_revision > 0 ? WORDS.staleLong(tally.error) : WORDS.noneYet];
  if (drawing) return ["wait", WORDS.drawing];
  return [tally.warning > 0 ? "warn" : "good", WORDS.upToDate];
}
