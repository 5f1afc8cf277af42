// Search over names, numbers, listings, parts, families, finishes and years.

// How much a match in a field counts.
const WEIGHT = { name: 1, part_of_number: 0.7, also: 0.85, group: 0.35 };

/** @param {PageData} data @returns {SearchIndex} */
function buildIndex(data) {
  /** @type {Map<string, Map<number, number>>} */
  const words = new Map();
  const add = (/** @type {string} */ token, /** @type {number} */ colour, /** @type {number} */ weight) => {
    let posts = words.get(token);
    if (!posts) words.set(token, (posts = new Map()));
    if ((posts.get(colour) ?? 0) < weight) posts.set(colour, weight);
  };
  const addAll = (/** @type {string[]} */ tokens, /** @type {number} */ colour, /** @type {number} */ weight) => {
    for (const token of tokens) add(token, colour, weight);
  };
  const tokens = (/** @type {Said | undefined} */ text) => everySpelling(text).flatMap(wordsIn);
  const ofFamily = data.families.map((f) => [...tokens(f.title), ...tokens(f.note), ...tokens(data.finishes[f.finish]?.title)]);
  const ofListing = data.listings.map((l) => tokens(l.title));
  const ofPart = data.parts.map((p) => [...new Set([...tokens(p.title), ...p.numbers.flatMap((n) => tokens(n))])]);
  const names = data.colours.map((colour, i) => {
    colour.names.forEach((name, listing) => {
      addAll(tokens(name), i, WEIGHT.name);
      if (name || colour.numbers[listing]) addAll(ofListing[listing] ?? [], i, WEIGHT.group);
    });
    for (const number of colour.numbers) {
      if (!number) continue;
      addAll(wordsIn(number), i, WEIGHT.part_of_number);
      add(squeeze(number), i, WEIGHT.name);
    }
    for (const text of colour.also ?? []) addAll(tokens(text), i, WEIGHT.also);
    addAll(ofFamily[colour.family] ?? [], i, WEIGHT.group);
    for (const part of new Set(colour.parts.flatMap((p) => ofPart[p] ?? []))) add(part, i, WEIGHT.group);
    for (const year of [colour.first, colour.last]) if (year) add(String(year), i, WEIGHT.group);
    return colour.names.flatMap(everySpelling).map(squeeze);
  });
  const entries = [...words].map(([token, posts]) => ({
    token, digits: /\d/.test(token), letters: lettersOf(token),
    colours: Int32Array.from(posts.keys()), weights: Float32Array.from(posts.values()),
  }));
  return { entries, names, size: data.colours.length };
}

/** A bit for each letter there is: words that share too few are not worth comparing. @param {string} token */
function lettersOf(token) {
  let bits = 0;
  for (let i = 0; i < token.length; i++) bits |= 1 << (token.charCodeAt(i) & 31);
  return bits;
}

/** @param {number} bits */
function countBits(bits) {
  let n = 0;
  for (let rest = bits; rest !== 0; rest &= rest - 1) n++;
  return n;
}

/** How well a word of the index answers what was typed, without forgiving anything. @param {string} typed @param {string} word */
function fits(typed, word) {
  if (word === typed) return 1;
  if (word.startsWith(typed)) return 0.8 + (0.15 * typed.length) / word.length;
  if (typed.length > 1 && word.includes(typed)) return 0.5 + (0.15 * typed.length) / word.length;
  return 0;
}

/** The same with slips of the pen. @param {string} typed @param {number} letters @param {Entry} entry */
function fitsAbout(typed, letters, entry) {
  const exact = fits(typed, entry.token);
  if (exact) return exact;
  const most = forgiven(typed.length);
  if (most === 0 || entry.digits || countBits(letters & ~entry.letters) > most) return 0;
  const { whole, start } = slips(typed, entry.token, most);
  return Math.max(0, 0.48 - 0.12 * whole, 0.42 - 0.12 * start);
}

/** For every colour how well it answers one typed word. @param {SearchIndex} index @param {string} typed @param {boolean} about */
function scoresOf(index, typed, about) {
  const scores = new Float32Array(index.size);
  const digits = /\d/.test(typed);
  const letters = lettersOf(typed);
  for (const entry of index.entries) {
    const fit = about && !digits ? fitsAbout(typed, letters, entry) : fits(typed, entry.token);
    if (fit === 0) continue;
    const { colours, weights } = entry;
    for (let k = 0; k < colours.length; k++) {
      const colour = /** @type {number} */ (colours[k]);
      const score = fit * /** @type {number} */ (weights[k]);
      if (score > /** @type {number} */ (scores[colour])) scores[colour] = score;
    }
  }
  return scores;
}

/** Colours that answer all words, or any of them, best first. @param {SearchIndex} index @param {string} query @param {Float32Array[]} each @param {boolean} any */
function ranked(index, query, each, any) {
  const whole = squeeze(query);
  /** @type {[number, number][]} */
  const hits = [];
  for (let i = 0; i < index.size; i++) {
    let sum = 0;
    let missed = false;
    for (const scores of each) {
      const score = scores[i] ?? 0;
      if (score === 0) missed = true;
      sum += score;
    }
    if (sum === 0 || (missed && !any)) continue;
    if (index.names[i]?.includes(whole)) sum += 1;
    else if (index.names[i]?.some((name) => name.startsWith(whole))) sum += 0.5;
    hits.push([i, sum]);
  }
  return hits.sort((a, b) => b[1] - a[1] || a[0] - b[0]).map((hit) => hit[0]);
}

/** @param {SearchIndex} index @param {string} query @returns {Found} */
function search(index, query) {
  const typed = chunks(query).slice(0, 8);
  if (typed.length === 0) return { items: [], exact: true };
  const exact = typed.map((word) => scoresOf(index, word, false));
  const found = ranked(index, query, exact, false);
  if (found.length > 0) return { items: found, exact: true };
  // Only words that nothing answers are read with slips forgiven.
  const about = typed.map((word, i) =>
    exact[i]?.some((score) => score > 0) ? /** @type {Float32Array} */ (exact[i]) : scoresOf(index, word, true),
  );
  const close = ranked(index, query, about, false);
  if (close.length > 0) return { items: close, exact: false };
  const all = typed.map((word) => scoresOf(index, word, true));
  const both = ranked(index, query, all, false);
  return { items: both.length > 0 ? both : ranked(index, query, all, true), exact: false };
}

/** @type {WeakMap<PageData, string[][]>} */
const partWords = new WeakMap();

/** Parts whose number or title was typed. @param {PageData} data @param {string} query @returns {number[]} */
function partsFor(data, query) {
  const typed = chunks(query);
  if (typed.length === 0 || squeeze(query).length < 2) return [];
  let all = partWords.get(data);
  if (!all) {
    all = data.parts.map((part) => [part.title, part.size, part.numbers].flatMap(everySpelling).flatMap(wordsIn));
    partWords.set(data, all);
  }
  return all.flatMap((words, i) => {
    return typed.every((t) => words.some((w) => w.startsWith(t))) ? [i] : [];
  });
}
