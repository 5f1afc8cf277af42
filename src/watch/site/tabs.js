// The tabs of the panel.

/** @param {string} label @param {{id: string, label: string, content: HTMLElement}[]} entries @param {string} first */
function tabs(label, entries, first) {
  const list = make("div", { class: "tabs", role: "tablist", "aria-label": label });
  const built = entries.map(({ id, label: name, content }) => {
    const count = make("span", { class: "count", hidden: true });
    const tab = make("button", {
      type: "button", role: "tab", id: `tab-${id}`, "aria-controls": `panel-${id}`,
      click: () => select(id),
      keydown: (/** @type {KeyboardEvent} */ event) => move(event, id),
    }, name, count);
    const panel = make("div", { role: "tabpanel", id: `panel-${id}`, "aria-labelledby": `tab-${id}`, class: "tabpanel scrolls", tabindex: 0 }, content);
    list.append(tab);
    return { id, tab, panel, count };
  });
  let current = "";

  /** @param {string} id */
  function select(id) {
    current = built.some((one) => one.id === id && !one.tab.hidden) ? id : built[0].id;
    for (const one of built) {
      const chosen = one.id === current;
      one.tab.setAttribute("aria-selected", String(chosen));
      one.tab.tabIndex = chosen ? 0 : -1;
      one.panel.hidden = !chosen;
    }
    remember("sessionStorage", "tab", current);
  }

  /** @param {KeyboardEvent} event @param {string} id */
  function move(event, id) {
    const shown = built.filter((one) => !one.tab.hidden);
    const at = shown.findIndex((one) => one.id === id);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: shown.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const next = shown[(to + shown.length) % shown.length];
    select(next.id);
    next.tab.focus();
  }

  select(first);
  return {
    list,
    panels: built.map((one) => one.panel),
    select,
    /** @param {string} id @param {number} n @param {string} [tone] */
    setCount(id, n, tone = "") {
      const one = built.find((entry) => entry.id === id);
      if (!one) return;
      one.count.hidden = n === 0;
      setText(one.count, String(n));
      one.count.className = `count ${tone}`;
    },
    /** @param {string} id @param {boolean} shown */
    setShown(id, shown) {
      const one = built.find((entry) => entry.id === id);
      if (!one || one.tab.hidden === !shown) return;
      one.tab.hidden = !shown;
      if (!shown && current === id) select(built[0].id);
    },
  };
}
