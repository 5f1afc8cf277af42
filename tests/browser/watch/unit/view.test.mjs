import assert from "node:assert/strict";
import test from "node:test";
import { load } from "./load.mjs";

const v = load(["words", "view"], ["readState", "fittingView", "comparisons", "otherView", "viewQuery", "sideName", "sizeInMm"]);
const state = v.readState({
  editions: [{ name: "poster", pages: 1, width: 610, height: 914, spellings: ["en-GB", "en-US"], figures: [] }, { name: "pages", pages: 3, width: 210, height: 297, spellings: ["en-US"], figures: [] }],
  spellings: [{ tag: "en-GB", name: "British" }, { tag: "en-US", name: "American" }], styles: ["plate", "catalogue"], releases: ["now", "before"], papers: ["matte"],
});

test("an empty answer is a state", () => {
  const empty = v.readState(null);
  assert.deepEqual(empty.findings, []);
  assert.equal(v.fittingView(empty, { edition: "x" }).edition, "");
});

test("a wish is met as far as there is such a thing", () => {
  assert.deepEqual(v.fittingView(state, {}), { edition: "poster", spelling: "en-GB", style: "plate", release: "now", page: 1, paper: "" });
  assert.deepEqual(v.fittingView(state, { edition: "pages", spelling: "en-GB", page: 9, style: "gone", paper: "matte" }),
    { edition: "pages", spelling: "en-US", style: "plate", release: "now", page: 3, paper: "matte" });
  assert.equal(v.fittingView(state, { edition: "pages", page: NaN }).page, 1);
});

test("a view is compared with what differs in one respect", () => {
  const view = v.fittingView(state, {});
  assert.deepEqual(v.comparisons(state, view), [{ aspect: "style", value: "catalogue" }, { aspect: "spelling", value: "en-US" }, { aspect: "release", value: "before" }, { aspect: "paper", value: "matte" }]);
  assert.equal(v.otherView(view, { aspect: "spelling", value: "en-US" }).spelling, "en-US");
  assert.equal(v.sideName(state, view, "spelling"), "British");
});

test("the query is encoded", () => {
  assert.match(v.viewQuery({ ...v.fittingView(state, {}), edition: "a&b c" }, 6), /^edition=a%26b\+c&.*page=1&revision=6$/);
});

test("the size is read in either order and only in mm", () => {
  assert.deepEqual(v.sizeInMm('<?xml version="1.0"?>\n<svg height="914mm" viewBox="0 0 610 914" width="609.6mm">'), { width: 609.6, height: 914 });
  assert.equal(v.sizeInMm('<svg width="100" height="100">'), null);
  assert.equal(v.sizeInMm(""), null);
});
