// Which colours are shown, and in which order.

/** Whether a colour is sold in the year, or is new. @param {Colour} colour @param {string} year */
function soldIn(colour, year) {
  if (year === "new") return colour.new === true;
  const y = Number(year);
  return (colour.first ?? -Infinity) <= y && y <= (colour.last ?? Infinity);
}

/** @param {PageData} data @param {State} state @returns {(index: number) => boolean} */
function filterOf(data, state) {
  const family = data.families.findIndex((f) => f.key === state.family);
  const finish = data.finishes.findIndex((f) => f.key === state.finish);
  const part = data.parts.findIndex((p) => p.key === state.part);
  return (index) => {
    const colour = data.colours[index];
    if (!colour) return false;
    if (family >= 0 && colour.family !== family) return false;
    if (finish >= 0 && data.families[colour.family]?.finish !== finish) return false;
    if (part >= 0 && !colour.parts.includes(part)) return false;
    return !state.year || soldIn(colour, state.year);
  };
}

/** The difference of every colour from `rrggbb`; Infinity where the value is unknown. @param {PageData} data @param {string} near */
function distances(data, near) {
  const lab = labOf(near);
  return data.colours.map((colour) => {
    const own = colour.lab ?? (colour.value ? labOf(colour.value) : null);
    return own ? difference(lab, own) : Infinity;
  });
}

/** The colour looked for: a value typed into the search field is one too. @param {State} state */
function nearOf(state) {
  return (state.find.trim().startsWith("#") && readColour(state.find)) || state.near;
}

/**
 * @param {PageData} data @param {() => SearchIndex} index @param {State} state
 * @returns {{ items: number[], exact: boolean, far: number[] | null }}
 */
function choose(data, index, state) {
  const near = nearOf(state);
  const query = state.find.trim().startsWith("#") && near ? "" : state.find.trim();
  let items = data.colours.map((_, i) => i);
  let exact = true;
  if (query && chunks(query).length > 0) ({ items, exact } = search(index(), query));
  items = items.filter(filterOf(data, state));
  if (!near) return { items, exact, far: null };
  const far = distances(data, near);
  items = items.filter((i) => far[i] !== Infinity).sort((a, b) => (far[a] ?? 0) - (far[b] ?? 0) || a - b);
  return { items, exact, far };
}
