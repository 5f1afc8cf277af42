import assert from "node:assert/strict";
import test from "node:test";
import { data, page } from "./load.mjs";

test("what is written is read again", () => {
  const state = { ...page.emptyState(), find: "a&b=c #ü+%", family: "gloss", finish: "opaque", part: "b9", year: "2020", near: "aabbcc", colour: "gannet", beside: ["gannet", "bell"], on: "grey", view: "beside", order: [{ colour: "gannet", part: "b9", count: 20 }], spelling: "en-US" };
  assert.deepEqual(page.readAddress(data, `#${page.writeAddress(state)}`), state);
});
test("nothing known, nothing written", () => assert.equal(page.writeAddress(page.emptyState()), ""));
test("unknown things are dropped", () => {
  const read = page.readAddress(data, "#family=__proto__&part=zz&year=abc&near=zz&colour=constructor&beside=a,gannet,gannet,&on=red&view=x&order=gannet:b9:-1,gannet:b9:1e9,bell:r4:2,x:y:z&spelling=xx&other=1");
  assert.deepEqual(read, { ...page.emptyState(), beside: ["gannet"] });
});
test("no address throws", () => {
  let seed = 7;
  const random = (n) => (seed = (seed * 1103515245 + 12345) % 2147483648) % n;
  const bits = ["#", "&", "=", "%", "%E0", "%00", "find", "order", "colour", "beside", "near", ":", ",", "\ud800", "\udfff", "<b>", "gannet", "b9", "9", "__proto__", "+", "\n"];
  for (let i = 0; i < 20000; i++) {
    const hash = Array.from({ length: random(14) }, () => bits[random(bits.length)]).join("");
    const state = page.readAddress(data, hash);
    const again = page.readAddress(data, page.writeAddress(state));
    assert.equal(page.writeAddress(again), page.writeAddress(state), JSON.stringify(hash));
  }
});
test("at most six side by side, and counts with an end", () => {
  const all = data.colours.map((c) => c.key);
  assert.equal(page.readAddress(data, `#beside=${[...all, ...all, "x"].join(",")}`).beside.length, 6);
  assert.equal(page.readOrder(data, "gannet:b9:99999999").at(0).count, 999999);
});
