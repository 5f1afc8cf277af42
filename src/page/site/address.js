// The state as it is kept in the address. Whatever stands there is untrusted.

const MOST_BESIDE = 6;
const MOST_LINES = 500;
const MOST_COUNT = 999999;
const SURROUNDS = ["white", "grey", "black"];

/** @returns {State} */
function emptyState() {
  return {
    find: "", family: "", finish: "", part: "", year: "", near: "",
    colour: "", beside: [], on: "white", view: "", order: [], spelling: "",
  };
}

/** @param {string} text */
function decoded(text) {
  try {
    return decodeURIComponent(text.replace(/\+/g, " "));
  } catch {
    return "";
  }
}

/** @param {PageData} data @param {string} hash @returns {State} */
function readAddress(data, hash) {
  const state = emptyState();
  const has = (/** @type {{ key: string }[]} */ list, /** @type {string} */ key) => list.some((x) => x.key === key);
  const known = (/** @type {{ key: string }[]} */ list, /** @type {string} */ key) => (has(list, key) ? key : "");
  for (const pair of hash.replace(/^#/, "").slice(0, 40000).split("&")) {
    const cut = pair.indexOf("=");
    if (cut < 0) continue;
    const value = decoded(pair.slice(cut + 1));
    switch (pair.slice(0, cut)) {
      case "find":
        // Control characters would be invisible in the field.
        state.find = value.replace(/\p{Cc}+/gu, " ").slice(0, 200);
        break;
      case "family":
        state.family = known(data.families, value);
        break;
      case "finish":
        state.finish = known(data.finishes, value);
        break;
      case "part":
        state.part = known(data.parts, value);
        break;
      case "year":
        state.year = value === "new" || yearsOf(data).includes(Number(value)) ? value : "";
        break;
      case "near":
        state.near = readColour(value);
        break;
      case "colour":
        state.colour = known(data.colours, value);
        break;
      case "beside":
        state.beside = [...new Set(value.split(","))].filter((key) => has(data.colours, key)).slice(0, MOST_BESIDE);
        break;
      case "on":
        if (SURROUNDS.includes(value)) state.on = value;
        break;
      case "view":
        if (value === "beside" || value === "order") state.view = value;
        break;
      case "order":
        state.order = readOrder(data, value);
        break;
      case "spelling":
        state.spelling = data.spellings.some((s) => s.tag === value) ? value : "";
        break;
    }
  }
  return state;
}

/** The years in which anything is sold. @param {PageData} data */
function yearsOf(data) {
  const given = data.colours.flatMap((c) => [c.first, c.last]).filter((y) => y !== null);
  if (data.year) given.push(data.year);
  if (given.length === 0) return [];
  const from = Math.min(...given);
  const to = Math.min(Math.max(...given), from + 200);
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}

/** @param {PageData} data @param {string} text @returns {Line[]} */
function readOrder(data, text) {
  const colours = new Map(data.colours.map((c) => [c.key, c]));
  const parts = new Map(data.parts.map((p, i) => [p.key, i]));
  /** @type {Map<string, Line>} */
  const lines = new Map();
  for (const item of text.split(",").slice(0, MOST_LINES)) {
    const [colour = "", part = "", n = ""] = item.split(":");
    const made = colours.get(colour)?.parts.includes(parts.get(part) ?? -1);
    const count = readCount(n);
    if (made && count > 0) lines.set(`${colour}:${part}`, { colour, part, count });
  }
  return [...lines.values()];
}

/** A count as typed; 0 for anything else. @param {string} text */
function readCount(text) {
  return /^\s*\d{1,12}\s*$/.test(text) ? Math.min(Number(text), MOST_COUNT) : 0;
}

/** @param {Line[]} lines */
function writeOrder(lines) {
  return lines.map((l) => `${l.colour}:${l.part}:${l.count}`).join(",");
}

/** @param {State} state */
function writeAddress(state) {
  /** @type {[string, string][]} */
  const pairs = [
    ["find", state.find], ["family", state.family], ["finish", state.finish], ["part", state.part],
    ["year", state.year], ["near", state.near], ["colour", state.colour],
    ["beside", state.beside.join(",")], ["on", state.on === "white" ? "" : state.on], ["view", state.view],
    ["order", writeOrder(state.order)], ["spelling", state.spelling],
  ];
  // Commas and colons are left as they are: such addresses can be read.
  const coded = (/** @type {string} */ v) => encodeURIComponent(wellFormed(v)).replace(/%2C/g, ",").replace(/%3A/g, ":");
  return pairs.filter(([, value]) => value).map(([name, value]) => `${name}=${coded(value)}`).join("&");
}

/** Half of a surrogate pair cannot be encoded. @param {string} text */
function wellFormed(text) {
  return text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, "");
}
