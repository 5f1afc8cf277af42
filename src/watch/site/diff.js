// What differs between two states, and how a message is cut to its place.

/** @param {State | null} before @param {State} after @param {(keyof State)[]} fields */
function differs(before, after, fields) {
  return before === null || fields.some((field) => JSON.stringify(before[field]) !== JSON.stringify(after[field]));
}

/** @param {Finding[]} findings */
function tallies(findings) {
  const tally = { error: 0, warning: 0, note: 0 };
  for (const finding of findings) tally[finding.severity] += 1;
  return tally;
}

/** What a screen reader is told about a new state, or nothing. @param {State | null} before @param {State} after */
function announcement(before, after) {
  if (before !== null && before.revision === after.revision) return "";
  const tally = tallies(after.findings);
  const counts = WORDS.tally(tally.error, tally.warning, tally.note);
  if (after.good) return counts ? `${WORDS.upToDate}. ${counts}.` : `${WORDS.upToDate}.`;
  return `${WORDS.staleLong(tally.error)}. ${after.findings.find((one) => one.severity === "error")?.message ?? ""}`;
}

/** A key that stays the same while the message does. @param {Finding} finding */
const findingKey = (finding) => `${finding.severity} ${finding.file}:${finding.line}:${finding.column} ${finding.message}`;

/**
 * The part of a line around the marked characters, without its indentation, in three pieces.
 * @param {string} text @param {number} from @param {number} to in characters, `to` excluded @param {number} room
 * @returns {[string, string, string]} before, marked, after
 */
function excerpt(text, from, to, room = 150) {
  const characters = Array.from(text);
  const indent = Math.max(0, characters.findIndex((character) => character.trim() !== ""));
  const marks = to > from;
  const start = Math.min(Math.max(0, marks ? from : indent), characters.length);
  const end = Math.min(Math.max(start, marks ? to : 0), characters.length);
  let first = Math.min(indent, start);
  let last = characters.length;
  if (last - first > room) {
    const spare = Math.max(0, room - (end - start));
    const lead = Math.min(start - first, Math.max(Math.floor(spare / 3), spare - (last - end)));
    first = start - lead;
    last = Math.min(last, Math.max(end, first + room));
    if (end - start > room) last = start + room;
  }
  const stop = Math.min(end, last);
  const cutStart = first > Math.min(indent, start) ? "…" : "";
  return [cutStart + characters.slice(first, start).join(""), characters.slice(start, stop).join(""),
    characters.slice(stop, last).join("") + (last < characters.length ? "…" : "")];
}

/** @param {string} key @returns {string} the kind of an origin */
function kindOf(key) {
  const kind = key.slice(0, Math.max(0, key.indexOf(":")));
  return Object.hasOwn(WORDS.kinds, kind) ? kind : "other";
}

/**
 * The things on a page by kind, in the order in which they lie on it, each once.
 * @param {Place[]} places @returns {Map<string, string[]>}
 */
function thingsOn(places) {
  /** @type {Map<string, Set<string>>} */
  const groups = new Map(Object.keys(WORDS.kinds).map((kind) => [kind, new Set()]));
  for (const place of places) groups.get(kindOf(place[4]))?.add(place[4]);
  return new Map([...groups].filter(([, keys]) => keys.size > 0).map(([kind, keys]) => [kind, [...keys]]));
}
