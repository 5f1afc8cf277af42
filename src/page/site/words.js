// The words of the page, in the spelling chosen.

/** @type {PageData} */
let page;

/** Index of the spelling shown. */
let spelling = 0;

/** @param {PageData} data */
function setPage(data) {
  page = data;
}

/** @param {number} index */
function setSpelling(index) {
  spelling = index;
}

/** The text in the spelling shown. @param {Said | undefined} text @returns {string} */
function pick(text) {
  if (Array.isArray(text)) return text[spelling] ?? text[0] ?? "";
  return text ?? "";
}

/** The text in every spelling. @param {Said | undefined} text @returns {string[]} */
function everySpelling(text) {
  const all = Array.isArray(text) ? text : [text];
  return /** @type {string[]} */ (all.filter((t) => t));
}

/**
 * The fixed text of this key, with what is in braces filled in.
 * @param {string} key
 * @param {Record<string, string | number>} [values]
 * @returns {string}
 */
function say(key, values) {
  const text = page.spellings[spelling]?.words[key] ?? page.spellings[0]?.words[key] ?? key;
  if (!values) return text;
  return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}

/** A text for one or for many. @param {string} key @param {number} n */
function sayCount(key, n) {
  return say(n === 1 ? `${key}_one` : `${key}_many`, { n: sayNumber(n) });
}

/** Making one is slow. @type {Map<string, Intl.NumberFormat>} */
const numberForms = new Map();

/** @param {number} n @param {number} [decimals] */
function sayNumber(n, decimals = 0) {
  const tag = page.spellings[spelling]?.tag ?? "en";
  const key = `${tag} ${decimals}`;
  let form = numberForms.get(key);
  if (!form) numberForms.set(key, (form = numberForm(tag, decimals)));
  return form.format(n);
}

/** @param {string} tag @param {number} decimals */
function numberForm(tag, decimals) {
  const digits = { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
  try {
    return new Intl.NumberFormat(tag, digits);
  } catch {
    return new Intl.NumberFormat("en", digits);
  }
}

/** The name to call a colour by: that of the listing, or the first there is. @param {Colour} colour @param {number} [listing] */
function nameOf(colour, listing = page.order_from) {
  return pick(colour.names[listing]) || pick(colour.names.find((n) => pick(n))) || colour.key;
}

/** The years of sale in words. @param {Colour} colour */
function sayYears(colour) {
  const { first, last } = colour;
  if (first && last) return say("page_from_until", { first, last });
  if (first) return say("page_from", { first });
  if (last) return say("page_until", { last });
  return "";
}
