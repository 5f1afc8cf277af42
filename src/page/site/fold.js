// Text made comparable: case, accents and punctuation are folded away.

/** @type {Record<string, string>} */
const FOLDED = { ß: "ss", æ: "ae", œ: "oe", ø: "o", ł: "l", đ: "d", ð: "d", þ: "th", ı: "i" };

/** @param {string} text */
function fold(text) {
  return text
    .toLowerCase()
    .normalize("NFD")
    .replace(/[\u0300-\u036f'’ʼ`´]/g, "")
    .replace(/[ßæœøłđðþı]/g, (c) => FOLDED[c] ?? c);
}

/** Without anything but letters and figures. @param {string} text */
function squeeze(text) {
  return fold(text).replace(/[^\p{L}\p{M}\p{N}]+/gu, "");
}

/** The words that somebody typed. @param {string} text */
function chunks(text) {
  return fold(text)
    .split(/[\s,;/&+]+/)
    .map((chunk) => squeeze(chunk))
    .filter((chunk) => chunk);
}

/** The words in a name or number, and what they are joined: '3-237' gives 3, 237 and 3237. @param {string} text */
function wordsIn(text) {
  const parts = fold(text).match(/[\p{L}\p{M}\p{N}]+/gu) ?? [];
  return parts.length > 1 ? [...parts, ...chunks(text), squeeze(text)] : [...parts];
}

/** How many slips of the pen are forgiven in a word. @param {number} length */
function forgiven(length) {
  if (length < 4) return 0;
  return length < 7 ? 1 : 2;
}

/**
 * The least number of slips (a letter more, less, other, or two swapped) between what was typed and the word, or the
 * start of it. Infinity beyond `most`.
 * @param {string} typed @param {string} word @param {number} most
 * @returns {{ whole: number, start: number }}
 */
function slips(typed, word, most) {
  const none = { whole: Infinity, start: Infinity };
  if (typed.length - word.length > most) return none;
  const width = Math.min(word.length, typed.length + most);
  /** @type {number[]} */ let before = [];
  /** @type {number[]} */ let last = Array.from({ length: width + 1 }, (_, j) => j);
  for (let i = 1; i <= typed.length; i++) {
    const row = [i];
    let best = i;
    for (let j = 1; j <= width; j++) {
      const same = typed[i - 1] === word[j - 1] ? 0 : 1;
      let v = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same);
      if (i > 1 && j > 1 && typed[i - 1] === word[j - 2] && typed[i - 2] === word[j - 1]) {
        v = Math.min(v, (before[j - 2] ?? 0) + 1);
      }
      row[j] = v;
      if (v < best) best = v;
    }
    if (best > most) return none;
    before = last;
    last = row;
  }
  const limit = (/** @type {number} */ v) => (v > most ? Infinity : v);
  const whole = width === word.length ? limit(last[width] ?? Infinity) : Infinity;
  return { whole, start: limit(Math.min(...last)) };
}
