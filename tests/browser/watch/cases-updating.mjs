// After a save; when the program is busy, refuses or ends.
import { check, onScreen, openPage, same, scaleOf, settled } from "./tools.mjs";

const state = (/** @type {any} */ page) => page.textContent("#status-text");

export const updating = [
  { name: "after a save it is up to date, scroll and zoom stay", run: async ({ page, url, files, asked }) => {
    await openPage(page, url);
    await page.locator(".scroller").focus();
    for (let i = 0; i < 6; i += 1) await page.keyboard.press("+");
    await page.waitForTimeout(900);
    const [scale, at] = [await scaleOf(page), await onScreen(page, 100, 100)];
    await page.click("#tab-contents");
    await page.locator("#panel-contents .thing").nth(5).focus();
    const first = await page.evaluate(() => { const image = document.querySelector(".picture img"); globalThis.kept = [...document.querySelectorAll(".picture img")]; return image.src; });
    const times = [];
    for (const [from, to] of [["#c92a2e", "#2ac92e"], ["#2ac92e", "#2a2ec9"], ["#2a2ec9", "#c92a2e"]]) {
      asked.length = 0;
      const done = await page.evaluate(() => performance.getEntriesByType("measure").length);
      files.change("range.ron", `"${from}"`, `"${to}"`);
      await page.waitForFunction((n) => performance.getEntriesByType("measure").length > n, done);
      times.push(Math.round(await page.evaluate(() => performance.getEntriesByType("measure").at(-1).duration)));
    }
    await settled(page);
    same(await scaleOf(page), scale, "zoom");
    const after = await onScreen(page, 100, 100);
    check(Math.hypot(at.x - after.x, at.y - after.y) < 0.5, "it scrolled");
    same(await page.evaluate(() => document.activeElement.classList.contains("thing")), true, "the focus stayed in the list");
    const pieces = await page.evaluate(async () => (await (await fetch("./state")).json()).pieces);
    const sheets = asked.filter((one) => one.startsWith("sheet.svg")).length;
    if (pieces) {
      const total = await page.locator(".picture img").count();
      check(sheets < total, `all ${total} pieces were fetched again`);
      check(await page.evaluate(() => globalThis.kept.some((one) => one.isConnected)), "unchanged pieces were replaced");
    } else check((await page.evaluate(() => document.querySelector(".picture img").src)) !== first, "the image is the old one");
    return `from event to painted sheet ${times.join(", ")} ms, ${sheets} of ${await page.locator(".picture img").count()} pieces`;
  } },
  { name: "the old sheet is there until the new one can be shown", run: async ({ page, url, files }) => {
    await openPage(page, url);
    await page.evaluate(() => {
      globalThis.gaps = 0;
      const look = () => {
        const images = [...document.querySelectorAll(".picture img")];
        if (images.length === 0 || images.some((one) => !one.complete || one.naturalWidth === 0)) globalThis.gaps += 1;
        requestAnimationFrame(look);
      };
      look();
    });
    files.change("range.ron", '"#c92a2e"', '"#2ac92e"');
    await page.waitForFunction(() => performance.getEntriesByType("measure").some((one) => one.name !== "update 1") || performance.getEntriesByType("measure").length > 1);
    same(await page.evaluate(() => globalThis.gaps), 0, "frames without a sheet");
  } },
  { name: "many saves in a row end with the last", run: async ({ page, url, files }) => {
    await openPage(page, url);
    let now = "#c92a2e";
    for (const next of ["#111111", "#222222", "#333333", "#444444", "#555555"]) {
      files.change("range.ron", `"${now}"`, `"${next}"`);
      now = next;
      await page.waitForTimeout(70);
    }
    await page.waitForFunction(async () => {
      const latest = await (await fetch("./state")).json();
      return latest.origins["colour:wreck-buoy"].value === "#555555" && document.querySelector("#status-text").textContent === "Up to date";
    }, null, { polling: 300 });
    await settled(page);
    await page.fill("#contents-filter", "").catch(() => undefined);
    await page.click("#tab-contents");
    same(await page.locator("[data-key='colour:wreck-buoy'] .swatch").evaluate((chip) => getComputedStyle(chip).backgroundColor), "rgb(85, 85, 85)", "swatch");
  } },
  { name: "busy, gone and broken answers", needs: "faults", run: async ({ page, url }) => {
    // The first answers are not what the server says.
    const odd = { busy: 2, gone: 0, broken: 0 };
    await page.route(/\/(pieces|sheet\.svg)\?/, async (route) => {
      if (odd.busy-- > 0) return route.fulfill({ status: 503, headers: { "retry-after": "1" }, json: { message: "It is being drawn." } });
      if (odd.gone-- > 0) return route.fulfill({ status: 409, json: { ...(await (await route.fetch({ url: new URL("state", url).href })).json()), message: "gone" } });
      if (odd.broken-- > 0) return route.fulfill({ status: 500, json: { message: "The drawing failed." } });
      return route.continue();
    });
    await openPage(page, url);
    check(odd.busy <= 0, "it was not asked again");
    odd.gone = 1;
    await page.selectOption("#choose-style", "catalogue");
    await page.waitForFunction(() => document.querySelector(".picture").getAttribute("aria-label").includes("catalogue"));
    await page.waitForTimeout(800);
    check(odd.gone <= 0, "409 was not met");
    same(await page.locator(".notice:visible").count(), 0, "409 is shown to the user");
    odd.broken = 1;
    await page.selectOption("#choose-style", "plate");
    await page.waitForSelector(".notice:visible");
    same(await page.textContent(".notice"), "The drawing failed.", "notice");
    check((await page.locator(".picture img").count()) > 0, "the old sheet is gone");
    await page.selectOption("#choose-spelling", { index: 1 });
    await page.waitForFunction(() => document.querySelector(".notice").hidden);
  } },
  { name: "one picture instead of pieces", run: async ({ page, url, files }) => {
    await page.route("**/state", async (route) => {
      const answer = await route.fetch();
      await route.fulfill({ response: answer, json: { ...(await answer.json()), pieces: false } });
    });
    await openPage(page, url);
    same(await page.locator(".picture img").count(), 1, "images");
    const done = await page.evaluate(() => performance.getEntriesByType("measure").length);
    files.change("range.ron", '"#c92a2e"', '"#2ac92e"');
    await page.waitForFunction((n) => performance.getEntriesByType("measure").length > n, done);
    return `from event to painted sheet ${Math.round(await page.evaluate(() => performance.getEntriesByType("measure").at(-1).duration))} ms`;
  } },
  { name: "nothing is shown as good while there was no good sheet", run: async ({ page, url }) => {
    await page.route("**/state", (route) => route.fulfill({ json: { revision: 1, sheet_revision: 0, good: false, sheet: "sheet.ron", findings: [{ severity: "error", message: "the file is empty", help: "", file: "sheet.ron", line: 0, column: 0, text: "", from: 0, to: 0, origins: [] }] } }));
    await page.goto(url);
    await page.waitForSelector(".entry.error");
    check((await page.locator(".banner").textContent()).startsWith("There is no good sheet yet"), "the banner");
    same(await page.locator(".entry.error .spot").textContent(), "sheet.ron", "place");
  } },
  { name: "when the program ends the page says so", needs: "end", run: async ({ page, url, end }) => {
    await openPage(page, url);
    end();
    await page.waitForFunction(() => document.querySelector("#status-text").textContent.startsWith("Not connected"));
    check((await page.locator(".picture img").count()) > 0, "the sheet is gone");
  } },
];
