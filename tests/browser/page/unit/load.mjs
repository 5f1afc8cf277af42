// The pure parts of the script with a small range.
import { load } from "../lib/sources.mjs";

const names = [
  "labOf", "difference", "readColour", "seenBy", "slips", "wordsIn", "buildIndex", "search", "partsFor", "choose", "readAddress", "writeAddress",
  "emptyState", "readOrder", "writeOrder", "withCount", "joined", "csvCell", "orderCsv", "orderText", "setPage", "setSpelling", "yearsOf",
];

export const page = load("order.js", names);

const colour = (key, family, works, dealer, number, value, more = {}) => ({
  key, family, names: [works, dealer], numbers: [number, `3-${number}`], value, lab: value ? page.labOf(value) : null, first: 2016, last: null, parts: [0, 1], ...more,
});

export const data = {
  title: "Buttons", subtitle: "", maker: "Works", release: "Release 7", id: "test", year: 2026,
  spellings: [{ tag: "en-GB", name: "British", words: {
    page_order_line: "{n} × {part_number} {part}, {number} {name}", page_order_numbers: "Numbers of the {listing}", page_no_number: "no number",
    page_csv_list: "List", page_csv_number: "Number", page_csv_name: "Colour", page_csv_part_number: "Part number", page_csv_part: "Part", page_csv_size: "Size", page_csv_count: "Count",
  } }, { tag: "en-US", name: "American", words: { page_csv_name: "Color" } }],
  listings: [{ key: "works", title: "Works list" }, { key: "dealer", title: "Dealer list" }], order_from: 0,
  families: [{ key: "gloss", title: "Gloss", note: "opaque", finish: 0 }, { key: "clear", title: "Clear", note: null, finish: 1 }],
  finishes: [{ key: "opaque", title: "Opaque" }, { key: "clear", title: "Clear" }],
  parts: [{ key: "b9", title: "Button, two holes", size: "9", numbers: ["1102", "B-09"] }, { key: "r4", title: "Bead", size: "4", numbers: ["2040", null] }],
  colours: [
    colour("gannet", 0, "Gannet", "Chalk Ledge", "101", "#f8f7f3"),
    colour("tideline", 0, ["Tideline Grey", "Tideline Gray"], "Wrack Fog", "169", "#8f8f8c", { last: 2025 }),
    colour("wentletrap", 1, "Wentletrap", "Stair Shell", "212", "#e3c4d6", { also: ["Ladder Shell"], new: true, first: 2026 }),
    colour("bell", 1, "Ship’s Bell", null, "303", "#b88a37", { parts: [0] }),
    colour("ete", 1, "Éte Blüm", "=SUM(A1)", "404", null),
    colour("wentle", 1, "Wentle", "Old Stairs", "1010", "#203040"),
  ],
};
page.setPage(data);
