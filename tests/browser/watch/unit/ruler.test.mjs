import assert from "node:assert/strict";
import test from "node:test";
import { load } from "./load.mjs";

const { ASSUMED, trueScale, calibration, barLength } = load(["ruler"], ["ASSUMED", "trueScale", "calibration", "barLength"]);

test("without a measurement 96 pixels are an inch", () => {
  for (const stored of [null, 5, {}, { devicePixelsPerMm: "6" }, { devicePixelsPerMm: 0 }, { devicePixelsPerMm: 1e9 }, { devicePixelsPerMm: NaN }])
    assert.deepEqual(trueScale(stored, 1), { scale: ASSUMED, measured: false });
  assert.ok(Math.abs(ASSUMED * 25.4 - 96) < 1e-12);
});

test("a measurement holds at another zoom of the browser", () => {
  const kept = calibration(500, 100, 1);
  assert.deepEqual(trueScale(kept, 1), { scale: 5, measured: true });
  assert.deepEqual(trueScale(kept, 2), { scale: 2.5, measured: true });
  assert.deepEqual(calibration(250, 50, 2), { devicePixelsPerMm: 10 });
});

test("a narrow window has half a bar", () => {
  assert.equal(barLength(600, 3.78), 100);
  assert.equal(barLength(300, 3.78), 50);
});
