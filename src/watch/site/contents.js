// Everything on the page that is shown, as a list: the way to it without a pointer.

const MOST = 150;

/** @param {ShowActions} actions */
function contentsSection(actions) {
  const groups = make("div", {});
  const filter = make("input", { type: "search", id: "contents-filter", autocomplete: "off", input: () => build() });
  const found = make("p", { class: "unseen", role: "status" });
  const element = make("div", { class: "section", tabindex: -1 },
    make("div", { class: "filter" }, make("label", { for: "contents-filter" }, WORDS.filter), filter), found, groups);
  /** @type {Map<string, string[]>} */
  let things = new Map();
  /** @type {Record<string, Origin>} */
  let origins = {};
  const open = new Set(["colour"]);
  let chosen = "";

  /** @param {string} key */
  const item = (key) => {
    const origin = origins[key];
    const what = origin?.what ?? key;
    return make("li", {}, make("button", {
      type: "button", class: "thing", "data-key": key, "aria-current": key === chosen ? "true" : null,
      click: () => actions.show([key]),
    }, origin?.value ? swatch(origin.value) : null, make("span", {}, shortName(what)),
    origin && make("span", { class: "thing-spot" }, WORDS.spot(origin.file, origin.line, 0))));
  };

  /** @param {string[]} keys */
  const items = (keys) => [
    make("ul", { class: "things" }, ...keys.slice(0, MOST).map(item)),
    keys.length > MOST && make("p", { class: "more" }, WORDS.more(keys.length - MOST)),
  ];

  function build() {
    const wanted = filter.value.trim().toLocaleLowerCase("en-GB");
    let total = 0;
    const built = [...things].flatMap(([kind, keys]) => {
      const fitting = wanted ? keys.filter((key) => (origins[key]?.what ?? key).toLocaleLowerCase("en-GB").includes(wanted)) : keys;
      total += fitting.length;
      if (fitting.length === 0) return [];
      const body = make("div", {});
      const isOpen = wanted !== "" || open.has(kind);
      if (isOpen) fill(body, ...items(fitting));
      const group = make("details", {
        open: isOpen,
        toggle: () => {
          if (wanted === "") open[group.open ? "add" : "delete"](kind);
          if (group.open && body.childElementCount === 0) fill(body, ...items(fitting));
        },
      }, make("summary", { "data-key": `kind ${kind}` }, WORDS.kinds[kind], make("span", { class: "count" }, String(fitting.length))), body);
      return [group];
    });
    rebuild(groups, () => fill(groups, ...(built.length > 0 ? built : [make("p", { class: "empty" }, WORDS.nothingFound)])));
    setText(found, wanted ? WORDS.contentsCount(total) : "");
  }

  return {
    element,
    /** @param {Place[]} places @param {Record<string, Origin>} now */
    update(places, now) {
      things = thingsOn(places);
      origins = now;
      build();
    },
    /** @param {string} key */
    choose(key) {
      chosen = key;
      for (const button of groups.querySelectorAll("[data-key]")) {
        if (button instanceof HTMLElement && button.dataset.key === key) button.setAttribute("aria-current", "true");
        else button.removeAttribute("aria-current");
      }
    },
  };
}
