// The list to order, as CSV and as text.

/** Sets the count of a line; 0 takes it out. @param {Line[]} lines @param {string} colour @param {string} part @param {number} count @returns {Line[]} */
function withCount(lines, colour, part, count) {
  const is = (/** @type {Line} */ l) => l.colour === colour && l.part === part;
  if (count <= 0) return lines.filter((l) => !is(l));
  if (lines.some(is)) return lines.map((l) => (is(l) ? { ...l, count } : l));
  return lines.length < MOST_LINES ? [...lines, { colour, part, count }] : lines;
}

/** The lines of both, the second winning. @param {Line[]} one @param {Line[]} two */
function joined(one, two) {
  return two.reduce((all, l) => withCount(all, l.colour, l.part, l.count), one);
}

/**
 * What a line says, with the numbers of a listing.
 * @param {PageData} data @param {Line} line @param {number} listing
 */
function lineIn(data, line, listing) {
  const colour = data.colours.find((c) => c.key === line.colour);
  const part = data.parts.find((p) => p.key === line.part);
  if (!colour || !part) return null;
  return {
    colour, part, count: line.count,
    name: nameOf(colour, listing), number: colour.numbers[listing] ?? "",
    partNumber: part.numbers[listing] ?? "", partTitle: pick(part.title), size: pick(part.size),
  };
}

/** @param {PageData} data @param {Line[]} lines @param {number} listing */
function linesIn(data, lines, listing) {
  return lines.map((line) => lineIn(data, line, listing)).filter((line) => line !== null);
}

/** A cell that no spreadsheet takes for a formula. @param {string | number} value */
function csvCell(value) {
  if (typeof value === "number") return String(value);
  const text = value.replace(/[\r\n\t]+/g, " ");
  const safe = /^\s*[=+\-@＝＋－＠|%]/.test(text) ? `'${text}` : text;
  return /[",;'\s]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
}

/** @param {PageData} data @param {Line[]} lines @param {number} listing */
function orderCsv(data, lines, listing) {
  const head = ["page_csv_list", "page_csv_number", "page_csv_name", "page_csv_part_number", "page_csv_part", "page_csv_size", "page_csv_count"];
  const title = pick(data.listings[listing]?.title);
  const rows = linesIn(data, lines, listing).map((l) => [title, l.number, l.name, l.partNumber, l.partTitle, l.size, l.count]);
  return [head.map((key) => say(key)), ...rows].map((row) => `${row.map(csvCell).join(",")}\r\n`).join("");
}

/** @param {PageData} data @param {Line[]} lines @param {number} listing */
function orderText(data, lines, listing) {
  const head = [pick(data.title), pick(data.maker), pick(data.release)].filter((t) => t).join(", ");
  const rows = linesIn(data, lines, listing).map((l) =>
    say("page_order_line", {
      n: l.count, number: l.number || say("page_no_number"), name: l.name,
      part_number: l.partNumber || say("page_no_number"), part: [l.partTitle, l.size].filter((t) => t).join(" "),
    }),
  );
  return [head, say("page_order_numbers", { listing: pick(data.listings[listing]?.title) }), "", ...rows, ""].join("\n");
}
