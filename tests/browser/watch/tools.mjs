// What the browser tests share: the page under test, changes to files, pixels, accessibility.
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** @param {boolean} holds @param {string} message */
export function check(holds, message) {
  if (!holds) throw new Error(message);
}

/** @param {any} actual @param {any} expected @param {string} message */
export function same(actual, expected, message) {
  check(JSON.stringify(actual) === JSON.stringify(expected), `${message}: ${JSON.stringify(actual)}, not ${JSON.stringify(expected)}`);
}

/** Files of the watched folder, changed for a test and restored after it. @param {string} folder */
export function watchedFiles(folder) {
  const originals = new Map(["range.ron", "sheet.ron"].map((name) => [name, readFileSync(join(folder, name), "utf8")]));
  return {
    /** @param {string} name @param {string} from @param {string} to */
    change(name, from, to) {
      const text = readFileSync(join(folder, name), "utf8");
      check(text.includes(from), `${name} has no ${from}`);
      writeFileSync(join(folder, name), text.replaceAll(from, to));
    },
    restore() {
      let any = false;
      for (const [name, text] of originals) {
        if (readFileSync(join(folder, name), "utf8") === text) continue;
        any = true;
        writeFileSync(join(folder, name), text);
      }
      return any;
    },
  };
}

/** @param {import("playwright-core").Page} page @param {string} url */
export async function openPage(page, url) {
  await page.goto(url);
  await page.waitForSelector(".paper img");
  await settled(page);
}

/** Waits until the page is up to date and lies still. @param {import("playwright-core").Page} page */
export async function settled(page) {
  await page.waitForFunction(() => document.querySelector("#status-text")?.textContent !== "Drawing…");
  await page.waitForTimeout(260);
}

/** @param {import("playwright-core").Page} page */
export const scaleOf = (page) => page.evaluate(() => Number(document.querySelector(".paper")?.style.getPropertyValue("--scale")));

/** Where a point of the sheet lies on the screen. @param {import("playwright-core").Page} page @param {number} x @param {number} y in mm */
export async function onScreen(page, x, y, pane = 0) {
  const box = await page.locator(".picture").nth(pane).boundingBox();
  const scale = await scaleOf(page);
  return { x: (box?.x ?? 0) + x * scale, y: (box?.y ?? 0) + y * scale };
}

/** @param {import("playwright-core").Page} page @param {string} [extra] */
export function placesOf(page, extra = "") {
  return page.evaluate(async (more) => {
    const state = await (await fetch("./state")).json();
    const query = `edition=${state.editions[0].name}&spelling=${state.editions[0].spellings[0]}&style=${state.styles[0]}&release=now&page=1&revision=${state.sheet_revision}`;
    const fields = new URLSearchParams(query);
    for (const [key, value] of new URLSearchParams(more)) fields.set(key, value);
    return (await (await fetch(`./places?${fields}`)).json()).places;
  }, extra);
}

/** A point at which a thing is the top one. @param {any[]} places @param {string} key */
export function clearPoint(places, key) {
  for (const [x0, y0, x1, y1] of places.filter((one) => one[4] === key))
    for (let i = 1; i < 40; i += 1) for (const f of [0.5, 0.2, 0.8]) {
      const [x, y] = [x0 + ((x1 - x0) * i) / 40, y0 + (y1 - y0) * f];
      const top = places.findLast(([a, b, c, d]) => x >= a && x <= c && y >= b && y <= d);
      if (top?.[4] === key) return { x, y };
    }
  throw new Error(`nothing shows ${key}`);
}

/** The luminance of a screenshot, row by row. @param {import("playwright-core").Page} blank @param {Buffer} png */
export function pixels(blank, png) {
  return blank.evaluate(async (data) => {
    const image = new Image();
    image.src = `data:image/png;base64,${data}`;
    await image.decode();
    const canvas = new OffscreenCanvas(image.width, image.height);
    const context = canvas.getContext("2d");
    context.drawImage(image, 0, 0);
    const { data: rgba } = context.getImageData(0, 0, image.width, image.height);
    const light = [];
    let colourful = 0;
    for (let i = 0; i < rgba.length; i += 4) {
      light.push((rgba[i] * 2 + rgba[i + 1] * 5 + rgba[i + 2]) / 8);
      if (Math.max(rgba[i], rgba[i + 1], rgba[i + 2]) - Math.min(rgba[i], rgba[i + 1], rgba[i + 2]) > 40) colourful += 1;
    }
    return { width: image.width, height: image.height, light, colourful: colourful / light.length };
  }, png.toString("base64"));
}

/** @param {import("playwright-core").Page} page */
export async function violations(page) {
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    const result = await globalThis.axe.run(document, { resultTypes: ["violations"] });
    return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")}`);
  });
}
