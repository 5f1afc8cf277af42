import assert from "node:assert/strict";
import test from "node:test";
import { load } from "./load.mjs";

const d = load(["words", "view", "diff", "list"], ["readState", "differs", "tallies", "announcement", "excerpt", "thingsOn", "kindOf", "shortName"]);
const finding = (severity, message) => ({ severity, message, help: "", file: "a", line: 1, column: 1, text: "", from: 0, to: 0, origins: [] });

test("only the fields that are asked about count", () => {
  const a = d.readState({ revision: 1, title: "x" });
  assert.equal(d.differs(a, { ...a, revision: 2 }, ["title", "findings"]), false);
  assert.equal(d.differs(a, { ...a, title: "y" }, ["title"]), true);
  assert.equal(d.differs(null, a, ["title"]), true);
});

test("a new state is spoken once", () => {
  const good = d.readState({ revision: 2, sheet_revision: 2, good: true, findings: [finding("warning", "w")] });
  const bad = d.readState({ revision: 3, sheet_revision: 2, good: false, findings: [finding("error", "there is no colour")] });
  assert.equal(d.announcement(good, good), "");
  assert.equal(d.announcement(null, good), "Up to date. 1 warning.");
  assert.match(d.announcement(good, bad), /^1 error: .*there is no colour$/);
});

test("a short line is shown without its indentation", () => {
  assert.deepEqual(d.excerpt("    (key: \"a\"),", 5, 8), ["(", "key", ": \"a\"),"]);
  assert.deepEqual(d.excerpt("\t\tabc", 0, 0), ["", "", "abc"]);
  assert.deepEqual(d.excerpt("", 0, 0), ["", "", ""]);
});

test("a long line is cut around the mark", () => {
  const [before, marked, after] = d.excerpt("a".repeat(300) + "HERE" + "b".repeat(300), 300, 304, 60);
  assert.equal(marked, "HERE");
  assert.ok(before.startsWith("…a") && after.endsWith("b…"));
  assert.ok((before + marked + after).length <= 62);
  const [, end, tail] = d.excerpt("a".repeat(300) + "END", 300, 303, 60);
  assert.deepEqual([end, tail], ["END", ""]);
  assert.equal(d.excerpt("x".repeat(400), 0, 400, 60)[1].length, 60);
});

test("marks count characters, not code units", () => {
  assert.equal(d.excerpt("🧵🧵abc", 2, 5)[1], "abc");
  assert.deepEqual(d.excerpt("abc", 9, 20), ["abc", "", ""]);
});

test("things are grouped by kind, each once", () => {
  const groups = d.thingsOn([[0, 0, 1, 1, "block:a"], [0, 0, 1, 1, "colour:x"], [0, 0, 1, 1, "colour:x"], [0, 0, 1, 1, "odd"]]);
  assert.deepEqual([...groups], [["colour", ["colour:x"]], ["block", ["block:a"]], ["other", ["odd"]]]);
  assert.equal(d.kindOf("constructor:x"), "other");
});

test("names in a group are short", () => {
  assert.equal(d.shortName("colour 'Gannet'"), "Gannet");
  assert.equal(d.shortName("part '1102' in colour 'Gannet'"), "part '1102' in colour 'Gannet'");
});
