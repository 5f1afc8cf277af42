// Family, finish, part, year and picked colour.

/** @param {string} id @param {[string, string][]} choices @param {string} value */
function fillSelect(id, choices, value) {
  const select = /** @type {HTMLSelectElement} */ (byId(id));
  select.replaceChildren(...choices.map(([key, text]) => make("option", { value: key }, text)));
  select.value = value;
}

/** The facets in the spelling shown. @param {State} state */
function fillFacets(state) {
  const all = /** @type {[string, string]} */ (["", say("page_all")]);
  const listing = page.order_from;
  const titled = (/** @type {{ key: string, title: Said }[]} */ list) =>
    list.map((x) => /** @type {[string, string]} */ ([x.key, pick(x.title)]));
  const used = new Set(page.families.map((f) => f.finish));
  fillSelect("family", [all, ...titled(page.families)], state.family);
  fillSelect("finish", [all, ...titled(page.finishes.filter((_, i) => used.has(i)))], state.finish);
  fillSelect("part", [all, ...page.parts.map((p) => {
    const text = [p.numbers[listing], pick(p.title), pick(p.size)].filter((t) => t).join(" ");
    return /** @type {[string, string]} */ ([p.key, text]);
  })], state.part);
  const years = yearsOf(page).reverse().map((y) => /** @type {[string, string]} */ ([String(y), String(y)]));
  const fresh = page.colours.some((c) => c.new) ? [/** @type {[string, string]} */ (["new", say("page_new")])] : [];
  fillSelect("year", [all, ...fresh, ...years], state.year);
}

/** Shows the state in the fields, unless somebody is typing there. @param {State} state */
function showFacets(state) {
  for (const id of /** @type {const} */ (["find", "family", "finish", "part", "year"])) {
    const field = /** @type {HTMLInputElement | HTMLSelectElement} */ (byId(id));
    if (field.value !== state[id]) field.value = state[id];
    field.classList.toggle("given", state[id] !== "");
  }
  const near = /** @type {HTMLInputElement} */ (byId("near"));
  if (readColour(near.value) !== state.near && document.activeElement !== near) near.value = state.near && `#${state.near}`;
  if (state.near) /** @type {HTMLInputElement} */ (byId("pick")).value = `#${state.near}`;
  for (const field of [near, byId("pick")]) field.classList.toggle("given", state.near !== "");
  byId("clear").hidden = !(state.find || state.family || state.finish || state.part || state.year || state.near);
  const narrowed = [state.family, state.finish, state.part, state.year, state.near].filter((v) => v).length;
  byId("more").textContent = narrowed ? say("page_narrowed", { n: narrowed }) : say("page_narrow");
}

/** @param {Host} host */
function watchFacets(host) {
  const bar = byId("bar");
  bar.addEventListener("submit", (event) => event.preventDefault());
  const value = (/** @type {string} */ id) => /** @type {HTMLInputElement} */ (byId(id)).value;
  byId("find").addEventListener("input", () => host.go({ find: value("find") }));
  for (const id of ["family", "finish", "part", "year"]) {
    byId(id).addEventListener("change", () => host.go({ [id]: value(id) }));
  }
  byId("pick").addEventListener("input", () => {
    /** @type {HTMLInputElement} */ (byId("near")).value = value("pick");
    host.go({ near: readColour(value("pick")) });
  });
  byId("near").addEventListener("input", () => {
    const near = byId("near");
    const read = readColour(value("near"));
    near.setAttribute("aria-invalid", String(value("near").trim() !== "" && read === ""));
    if (read !== "" || value("near").trim() === "") host.go({ near: read });
  });
  byId("clear").addEventListener("click", () => {
    /** @type {HTMLInputElement} */ (byId("near")).value = "";
    byId("near").removeAttribute("aria-invalid");
    host.go({ find: "", family: "", finish: "", part: "", year: "", near: "" });
    byId("find").focus();
  });
  byId("find").addEventListener("keydown", (event) => {
    if ((event.key !== "ArrowDown" && event.key !== "Enter") || event.isComposing) return;
    const first = /** @type {HTMLElement | null} */ (byId("results").querySelector("a.nm"));
    if (first) event.preventDefault();
    first?.focus();
  });
  byId("more").addEventListener("click", () => {
    const open = bar.classList.toggle("open");
    byId("more").setAttribute("aria-expanded", String(open));
  });
}

/** Parts that were typed are offered as a filter. @param {Host} host */
function showHints(host) {
  const { state } = host;
  const place = byId("hints");
  const parts = state.find ? partsFor(page, state.find).filter((i) => page.parts[i]?.key !== state.part).slice(0, 4) : [];
  place.hidden = parts.length === 0;
  place.replaceChildren(...parts.map((i) => {
    const part = /** @type {Part} */ (page.parts[i]);
    const name = [part.numbers[page.order_from], pick(part.title), pick(part.size)].filter((t) => t).join(" ");
    return button(say("page_only_part", { part: name }), () => host.go({ find: "", part: part.key }), { class: "quiet" });
  }));
}
