import assert from "node:assert/strict";
import test from "node:test";
import { data, page } from "./load.mjs";

const lines = [{ colour: "gannet", part: "b9", count: 20 }, { colour: "tideline", part: "r4", count: 3 }, { colour: "ete", part: "b9", count: 1 }];

test("CSV with the numbers of the list", () => {
  assert.equal(page.orderCsv(data, lines.slice(0, 1), 0), "List,Number,Colour,\"Part number\",Part,Size,Count\r\n\"Works list\",101,Gannet,1102,\"Button, two holes\",9,20\r\n".replace("Gannet", "Gannet"));
  assert.ok(page.orderCsv(data, lines.slice(0, 1), 1).includes('3-101,"Chalk Ledge",B-09'));
});
test("a number that is missing is an empty cell", () => assert.ok(page.orderCsv(data, lines, 1).includes('3-169,"Wrack Fog",,Bead,4,3\r\n')));
test("no cell is a formula", () => {
  for (const text of ["=SUM(A1)", "+1", "-1", "@x", "\t=1", "  =1", "\r=1", "＝1", "|calc"]) {
    assert.match(page.csvCell(text), /^"?'/, JSON.stringify(text));
  }
  assert.ok(page.orderCsv(data, lines, 1).includes(`"'=SUM(A1)"`));
});
test("quotes, commas and line ends are kept in their cell", () => {
  assert.equal(page.csvCell('a "b", c'), '"a ""b"", c"');
  assert.equal(page.csvCell("a\r\nb"), '"a b"');
  assert.equal(page.csvCell(7), "7");
});
test("as text", () => {
  assert.equal(page.orderText(data, lines.slice(0, 2), 1), "Buttons, Works, Release 7\nNumbers of the Dealer list\n\n20 × B-09 Button, two holes 9, 3-101 Chalk Ledge\n3 × no number Bead 4, 3-169 Wrack Fog\n");
});
test("counts are set, changed and taken out", () => {
  assert.equal(page.withCount(lines, "gannet", "b9", 5)[0].count, 5);
  assert.equal(page.withCount(lines, "gannet", "b9", 0).length, 2);
  assert.equal(page.joined(lines, [{ colour: "bell", part: "b9", count: 2 }]).length, 4);
});
test("written and read again", () => assert.deepEqual(page.readOrder(data, page.writeOrder(lines)), lines));
