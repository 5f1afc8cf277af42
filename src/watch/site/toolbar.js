// The bar above the desk: which sheet is shown, and what it is compared with.

/**
 * @typedef {object} ToolActions
 * @property {(change: Partial<View>) => void} setView
 * @property {(against: Against | null) => void} setAgainst
 * @property {(arrangement: "beside" | "blink") => void} setArrangement
 */

/** @param {string} name @param {string} label @param {(value: string) => void} chosen */
function chooser(name, label, chosen) {
  const select = make("select", { id: `choose-${name}`, change: () => chosen(select.value) });
  const element = make("div", { class: "chooser" }, make("label", { for: `choose-${name}` }, label), select);
  let built = "";
  return {
    element,
    /** @param {{value: string, label: string, group?: string}[]} options @param {string} value @param {number} [least] */
    update(options, value, least = 2) {
      element.hidden = options.length < least;
      const key = JSON.stringify(options);
      if (key !== built) {
        built = key;
        /** @type {Map<string, HTMLElement>} */
        const groups = new Map();
        fill(select);
        for (const option of options) {
          const entry = make("option", { value: option.value }, option.label);
          const group = option.group;
          if (!group) select.append(entry);
          else {
            if (!groups.has(group)) groups.set(group, make("optgroup", { label: group }));
            groups.get(group)?.append(entry);
          }
        }
        select.append(...groups.values());
      }
      if (select.value !== value) select.value = value;
    },
  };
}

/** @param {ToolActions} actions @param {Blinker} blinker */
function viewBar(actions, blinker) {
  const edition = chooser("edition", WORDS.edition, (value) => actions.setView({ edition: value, page: 1 }));
  const spelling = chooser("spelling", WORDS.spelling, (value) => actions.setView({ spelling: value }));
  const style = chooser("style", WORDS.style, (value) => actions.setView({ style: value }));
  const page = chooser("page", WORDS.page, (value) => actions.setView({ page: Number(value) }));
  const compare = chooser("compare", WORDS.compare, (value) => {
    const [aspect, ...rest] = value.split("=");
    actions.setAgainst(value ? { aspect: /** @type {Aspect} */ (aspect), value: rest.join("=") } : null);
  });
  let pageNow = 1;
  /** @param {string} sign @param {string} name @param {1 | -1} by */
  const turn = (sign, name, by) => make("button", {
    type: "button", class: "square", "aria-label": name, click: () => actions.setView({ page: pageNow + by }),
  }, sign);
  const back = turn("‹", WORDS.previousPage, -1);
  const forth = turn("›", WORDS.nextPage, 1);
  const pages = make("div", { class: "pages" }, page.element, back, forth);
  /** @param {"beside" | "blink"} value @param {string} label */
  const arrange = (value, label) =>
    make("button", { type: "button", "aria-pressed": "false", click: () => actions.setArrangement(value) }, label);
  const beside = arrange("beside", WORDS.beside);
  const blink = arrange("blink", WORDS.blink);
  const arrangement = make("div", { class: "segments", role: "group", "aria-label": WORDS.arrangement }, beside, blink);
  const flip = make("button", { type: "button", id: "flip", click: () => { blinker.hold(); blinker.flip(); } }, WORDS.flip);
  const run = make("button", { type: "button", id: "blink-run", "aria-pressed": "false",
    click: () => (blinker.running ? blinker.hold() : blinker.run()) }, WORDS.blinkRun);
  const calm = make("span", { class: "calm" }, WORDS.blinkOff);
  const blinkTools = make("div", { class: "blink-tools" }, flip, run, calm);
  const element = make("div", { class: "toolbar", role: "group", "aria-label": WORDS.viewArea },
    edition.element, spelling.element, style.element, pages, compare.element,
    make("div", { class: "compare-tools" }, arrangement, blinkTools));

  return {
    element,
    /** @param {State} state @param {View} view @param {Against | null} against @param {"beside" | "blink"} arranged */
    update(state, view, against, arranged) {
      const found = editionOf(state, view.edition);
      const count = found?.pages ?? 1;
      pageNow = view.page;
      edition.update(state.editions.map((one) => ({ value: one.name, label: one.name })), view.edition, 1);
      spelling.update((found?.spellings ?? []).map((tag) => ({
        value: tag, label: state.spellings.find((one) => one.tag === tag)?.name ?? tag })), view.spelling);
      style.update(state.styles.map((one) => ({ value: one, label: one })), view.style);
      page.update(Array.from({ length: count }, (_, i) => ({ value: String(i + 1), label: WORDS.pageOf(i + 1, count) })), String(view.page));
      pages.hidden = count < 2;
      back.disabled = view.page <= 1;
      forth.disabled = view.page >= count;
      compare.update([{ value: "", label: WORDS.compareNothing }, ...comparisons(state, view).map((one) => ({
        value: `${one.aspect}=${one.value}`, label: sideName(state, otherView(view, one), one.aspect),
        group: WORDS.compareGroups[one.aspect],
      }))], against ? `${against.aspect}=${against.value}` : "");
      arrangement.hidden = against === null;
      beside.setAttribute("aria-pressed", String(arranged === "beside"));
      blink.setAttribute("aria-pressed", String(arranged === "blink"));
      blinkTools.hidden = against === null || arranged !== "blink";
      run.hidden = !blinker.allowed;
      calm.hidden = blinker.allowed;
      run.setAttribute("aria-pressed", String(blinker.running));
    },
  };
}
