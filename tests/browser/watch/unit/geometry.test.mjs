import assert from "node:assert/strict";
import test from "node:test";
import { load } from "./load.mjs";

const g = load(["geometry"], ["MARGIN", "hits", "boxesOf", "unionOf", "fitScale", "clampScale", "nextStep", "wheelFactor", "axis", "scrollFor", "pointAt", "reveal"]);
const places = [[0, 0, 100, 100, "block:a"], [10, 10, 90, 20, "colour:x"], [12, 12, 18, 18, "cell:x/p"], [12, 50, 18, 58, "colour:y"], [60, 12, 66, 18, "cell:x/p"]];

test("the top item is hit first, each thing once, outside nothing", () => {
  assert.deepEqual(g.hits(places, 15, 15), ["cell:x/p", "colour:x", "block:a"]);
  assert.deepEqual(g.hits(places, 50, 15), ["colour:x", "block:a"]);
  assert.deepEqual(g.hits(places, 120, 15), []);
  assert.deepEqual(g.hits(places, 103, 50), []);
  assert.deepEqual(g.hits(places, 103, 50, 4), ["block:a"]);
});

test("boxes and their union", () => {
  assert.equal(g.boxesOf(places, "cell:x/p").length, 2);
  assert.deepEqual(g.unionOf(g.boxesOf(places, "cell:x/p")), { x0: 12, y0: 12, x1: 66, y1: 18 });
  assert.equal(g.unionOf([]), null);
});

test("a page fits with its margin", () => {
  const scale = g.fitScale({ width: 1000, height: 500 }, { width: 610, height: 914 }, false);
  assert.ok(Math.abs(914 * scale + 2 * g.MARGIN - 500) < 1e-9);
  assert.ok(Math.abs(610 * g.fitScale({ width: 1000, height: 500 }, { width: 610, height: 914 }, true) + 2 * g.MARGIN - 1000) < 1e-9);
});

test("zooming about a point keeps it there", () => {
  for (const [window, length, scale, next, scroll, at] of [[800, 610, 2, 2.6, 300, 411], [800, 610, 4, 1.9, 400, 3], [500, 914, 3.7, 118, 900, 250]]) {
    const mm = g.pointAt(window, length, scale, scroll, at);
    const after = g.scrollFor(window, length, next, mm, at);
    assert.ok(Math.abs(g.pointAt(window, length, next, after, at) - mm) < 1e-9);
  }
});

test("scrolling stops at the edges and a small page is centred", () => {
  assert.deepEqual(g.axis(1000, 400), { space: 1000, offset: 300 });
  assert.equal(g.scrollFor(1000, 400, 1, 400, 0), 0);
  assert.equal(g.scrollFor(1000, 400, 10, 4000, 0), 4000 + 2 * g.MARGIN - 1000);
});

test("a stretch in view is not scrolled to, another comes to the middle", () => {
  assert.equal(g.reveal(1000, 914, 4, 500, 200, 210), 500);
  const scroll = g.reveal(1000, 914, 4, 0, 700, 710);
  assert.ok(Math.abs(705 * 4 + g.MARGIN - scroll - 500) < 1e-9);
  assert.ok(g.reveal(300, 914, 4, 0, 500, 700) > 500 * 4 + g.MARGIN - 300);
});

test("steps go up and down by round numbers and stop at the ends", () => {
  assert.equal(g.nextStep(3.78, 3.78, 1), 1.5 * 3.78);
  assert.equal(g.nextStep(3.78, 3.78, -1), 0.7 * 3.78);
  assert.equal(g.nextStep(3.78 * 40, 3.78, 1), 32 * 3.78);
  assert.equal(g.clampScale(1e9, 4, 1), 128);
  assert.equal(g.clampScale(0, 4, 1), 0.25);
});

test("the wheel is bounded and there and back is nothing", () => {
  assert.ok(Math.abs(g.wheelFactor(100, false) * g.wheelFactor(-100, false) - 1) < 1e-12);
  assert.equal(g.wheelFactor(1e6, false), g.wheelFactor(160, false));
  assert.ok(g.wheelFactor(-100, false) > 1);
});
