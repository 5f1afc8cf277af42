import assert from "node:assert/strict";
import test from "node:test";
import { data, page } from "./load.mjs";

const index = page.buildIndex(data);
const find = (query) => page.search(index, query).items.map((i) => data.colours[i].key);

test("names, numbers and listings", () => {
  for (const [query, key] of [["gannet", "gannet"], ["GANNET", "gannet"], ["gan", "gannet"], ["chalk ledge", "gannet"], ["ledge chalk", "gannet"], ["101", "gannet"], ["3-169", "tideline"], ["3169", "tideline"], ["ladder", "wentletrap"]]) {
    assert.equal(find(query)[0], key, query);
  }
});
test("both spellings", () => {
  assert.equal(find("tideline grey")[0], "tideline");
  assert.equal(find("tideline gray")[0], "tideline");
});
test("half words, misspellings, joined words, accents and apostrophes", () => {
  for (const [query, key] of [["trap", "wentletrap"], ["wentltrap", "wentletrap"], ["wnetletrap", "wentletrap"], ["wentletrpa", "wentletrap"], ["gannit", "gannet"], ["chalkledge", "gannet"], ["ships bell", "bell"], ["ship's bell", "bell"], ["shipsbel", "bell"], ["ete blum", "ete"], ["tydelin", "tideline"], ["chalk legde", "gannet"]]) {
    assert.equal(find(query)[0], key, query);
  }
});
test("an exact name comes before a longer one", () => assert.deepEqual(find("wentle").slice(0, 2), ["wentle", "wentletrap"]));
test("an exact number comes before a longer one", () => assert.deepEqual(find("101").slice(0, 2), ["gannet", "wentle"]));
test("numbers are not guessed at", () => assert.deepEqual(find("99999"), []));
test("a family, a finish, a year and a list are found", () => {
  assert.equal(find("clear").length, 4);
  assert.deepEqual(find("gloss"), ["gannet", "tideline"]);
  assert.equal(find("2025")[0], "tideline");
  assert.equal(find("dealer list").length, 6);
});
test("a word too many does not lose the colour", () => assert.equal(find("gannet zzzzzz")[0], "gannet"));
test("what is found only with slips is marked", () => {
  assert.equal(page.search(index, "gannet").exact, true);
  assert.equal(page.search(index, "gannit").exact, false);
});
test("nothing breaks the search", () => {
  for (const query of ["", " ", "((([", "\\", "\ud83e", "🧵", "a".repeat(5000), "- - -", "__proto__", "%00"]) assert.ok(Array.isArray(find(query)), query);
});
test("parts by number and title", () => {
  assert.deepEqual(page.partsFor(data, "1102"), [0]);
  assert.deepEqual(page.partsFor(data, "b-09"), [0]);
  assert.deepEqual(page.partsFor(data, "bead 4"), [1]);
});
test("facets and the nearest colour", () => {
  const choose = (change) => page.choose(data, () => index, { ...page.emptyState(), ...change }).items.map((i) => data.colours[i].key);
  assert.deepEqual(choose({ family: "gloss" }), ["gannet", "tideline"]);
  assert.deepEqual(choose({ finish: "clear", part: "r4" }), ["wentletrap", "ete", "wentle"]);
  assert.equal(choose({ year: "2026" }).includes("tideline"), false);
  assert.deepEqual(choose({ year: "new" }), ["wentletrap"]);
  assert.equal(choose({ near: "f8f7f3" })[0], "gannet");
  assert.equal(choose({ find: "#b88a37" })[0], "bell");
  assert.equal(choose({ near: "f8f7f3" }).includes("ete"), false);
});
test("slips", () => {
  assert.equal(page.slips("musel", "mussel", 1).whole, 1);
  assert.equal(page.slips("msusel", "mussel", 1).whole, 1);
  assert.equal(page.slips("mus", "quartz", 1).whole, Infinity);
  assert.equal(page.slips("wenttl", "wentletrap", 1).start, 1);
});
