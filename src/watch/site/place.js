// Where the thing that was clicked comes from.

/** @param {{choose: (key: string) => void, forget: () => void}} actions */
function placeCard(actions) {
  const body = make("div", { tabindex: -1, role: "status" });
  const element = make("section", { class: "place", "aria-label": WORDS.place, hidden: true }, body,
    make("button", { type: "button", class: "square quiet", "aria-label": WORDS.forget, title: WORDS.forget, click: actions.forget }, "×"));

  /** @param {Origin} origin */
  const copyButton = (origin) => {
    const button = make("button", {
      type: "button", class: "copy", "data-key": "copy",
      click: async () => {
        try {
          await navigator.clipboard.writeText(WORDS.spot(origin.file, origin.line, origin.column));
          setText(button, WORDS.copied);
        } catch {
          // The place stays selectable.
        }
      },
    }, WORDS.copy);
    return button;
  };

  return {
    element,
    /** @param {Record<string, Origin>} origins @param {string[]} here the thing, and others @param {boolean} together @param {string} note */
    update(origins, here, together, note) {
      element.hidden = here.length === 0 && note === "";
      rebuild(body, () => {
        const [key, ...below] = here;
        const origin = key === undefined ? undefined : origins[key];
        fill(body,
          key !== undefined && make("h2", {}, ...(origin?.value ? [swatch(origin.value)] : []), origin?.what ?? key),
          ...(origin ? [...spotOf(origin), copyButton(origin)] : key === undefined ? [] : [make("p", { class: "help" }, WORDS.unknownPlace)]),
          note && make("p", { class: "place-note" }, note),
          below.length > 0 && make("p", { class: "below" }, `${together ? WORDS.alsoMarked : WORDS.alsoHere}: `, ...below.map((other) => make("button", {
            type: "button", class: "link", "data-key": `below ${other}`, click: () => actions.choose(other),
          }, origins[other]?.what ?? other))));
      });
    },
  };
}
