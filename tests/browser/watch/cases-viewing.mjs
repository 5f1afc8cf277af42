// Choosing, zooming, moving, comparing.
import { check, onScreen, openPage, pixels, same, scaleOf, settled, violations } from "./tools.mjs";

const box = async (/** @type {any} */ page, selector = ".picture", n = 0) => {
  const found = await page.locator(selector).nth(n).boundingBox();
  check(found !== null, `${selector} is not shown`);
  return found;
};
const label = (/** @type {any} */ page, n = 0) => page.locator(".picture").nth(n).getAttribute("aria-label");

export const viewing = [
  { name: "the sheet is shown, under a strict policy", run: async ({ page, url }) => {
    const answer = await page.goto(url);
    const policy = answer.headers()["content-security-policy"] ?? "";
    for (const part of ["default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' blob:", "connect-src 'self'"]) check(policy.includes(part), `the policy lacks ${part}`);
    check(!policy.includes("unsafe"), "the policy allows what is unsafe");
    await page.waitForSelector(".paper img");
    check((await page.locator(".paper img").first().evaluate((image) => image.naturalWidth)) > 0, "the image is empty");
    check((await page.title()).length > 5, "the window has no title");
  } },
  { name: "edition, spelling and style are chosen", run: async ({ page, url, asked }) => {
    await openPage(page, url);
    const editions = await page.locator("#choose-edition option").allTextContents();
    check(editions.length > 2, "there are too few editions");
    await page.selectOption("#choose-edition", editions[2]);
    await page.selectOption("#choose-spelling", { index: 1 });
    await page.selectOption("#choose-style", { index: 1 });
    await settled(page);
    const style = await page.locator("#choose-style").inputValue();
    check((await label(page)).includes(editions[2]) && (await label(page)).includes(style), `the sheet is called ${await label(page)}`);
    check(asked.some((one) => one.includes(`edition=${editions[2]}`) && one.includes("spelling=en-US") && one.includes(`style=${style}`)), "it was not asked for");
    await page.reload();
    await page.waitForSelector(".paper img");
    check((await label(page)).includes(editions[2]), "the choice is lost when the page is loaded again");
  } },
  { name: "it fits, the width fits, and it stays so in another window", run: async ({ page, url }) => {
    await openPage(page, url);
    const inside = async () => {
      const [paper, desk] = [await box(page), await box(page, ".scroller")];
      return paper.x >= desk.x && paper.y >= desk.y && paper.x + paper.width <= desk.x + desk.width && paper.y + paper.height <= desk.y + desk.height && paper.height > desk.height * 0.8;
    };
    check(await inside(), "the page does not fit");
    await page.setViewportSize({ width: 1100, height: 640 });
    await page.waitForTimeout(300);
    check(await inside(), "the page does not fit the smaller window");
    await page.click("#zoom-width");
    const [paper, desk] = [await box(page), await box(page, ".scroller")];
    check(paper.width > desk.width * 0.9 && paper.width <= desk.width, "the width does not fit");
  } },
  { name: "true size by the ruler, remembered, also on a dense screen", options: { deviceScaleFactor: 2 }, run: async ({ page, url }) => {
    await openPage(page, url);
    await page.click("#zoom-true");
    await page.fill("#ruler-pixels", "520");
    await page.keyboard.press("Tab");
    const bar = await box(page, ".ruler-bar");
    check(Math.abs(bar.width - 520) < 0.6, `the bar is ${bar.width} long`);
    await page.click("dialog[open] .primary");
    await settled(page);
    const width = await page.evaluate(async () => (await (await fetch("./state")).json()).editions[0].width);
    const real = async () => (await box(page)).width / width;
    check(Math.abs((await real()) - 5.2) < 0.01, `a millimetre is ${await real()} pixels`);
    same(await page.textContent("#zoom-value"), "100 %", "zoom");
    same(await page.evaluate(() => JSON.parse(localStorage.getItem("shadecard.watch.ruler")).devicePixelsPerMm), 10.4, "kept");
    await page.reload();
    await page.waitForSelector(".paper img");
    await page.click("#zoom-true");
    await settled(page);
    check(Math.abs((await real()) - 5.2) < 0.01, "the measurement was forgotten");
  } },
  { name: "it is sharp at any zoom", run: async ({ page, url, blank }) => {
    await openPage(page, url);
    await page.locator(".scroller").first().focus();
    const steepest = async () => {
      const shot = await pixels(blank, await page.screenshot({ clip: { x: 40, y: 160, width: 800, height: 600 } }));
      let most = 0;
      for (let i = 0; i + 1 < shot.light.length; i += 1) if ((i + 1) % shot.width) most = Math.max(most, Math.abs(shot.light[i] - shot.light[i + 1]));
      return Math.round(most);
    };
    const seen = [];
    for (const percent of ["100 %", "400 %", "1600 %", "3200 %"]) {
      for (let i = 0; i < 30 && (await page.textContent("#zoom-value")) !== percent; i += 1) await page.keyboard.press("+");
      same(await page.textContent("#zoom-value"), percent, "zoom");
      await page.waitForTimeout(1500);
      seen.push(await steepest());
    }
    check(seen.every((one) => one > 60), `edges are soft: ${seen}`);
    return `steepest edges ${seen.join(", ")}`;
  } },
  { name: "the wheel zooms about the pointer", run: async ({ page, url }) => {
    await openPage(page, url);
    // Wheel events come in whole pixels.
    const near = await onScreen(page, 150, 300);
    const at = { x: Math.round(near.x), y: Math.round(near.y) };
    const fit = await scaleOf(page);
    const [x, y] = [150 + (at.x - near.x) / fit, 300 + (at.y - near.y) / fit];
    await page.mouse.move(at.x, at.y);
    for (let i = 0; i < 8; i += 1) await page.mouse.wheel(0, -120);
    await page.waitForTimeout(500);
    const after = await onScreen(page, x, y);
    check(Math.hypot(at.x - after.x, at.y - after.y) < 1.5, `the point moved from ${at.x},${at.y} to ${after.x},${after.y}`);
    check((await scaleOf(page)) > 3, "nothing was zoomed");
    await page.uncheck("#wheel-zooms");
    const before = await scaleOf(page);
    await page.mouse.move(at.x, at.y);
    await page.mouse.wheel(0, 120);
    await page.waitForTimeout(400);
    same(await scaleOf(page), before, "the wheel zooms though it should not");
    check((await onScreen(page, x, y)).y < after.y - 50, "the wheel does not scroll");
  } },
  { name: "pinch zooms about the fingers", options: { hasTouch: true }, run: async ({ page, url, context }) => {
    await openPage(page, url);
    const at = await onScreen(page, 300, 400);
    const session = await context.newCDPSession(page);
    const touch = (type, gap) => session.send("Input.dispatchTouchEvent", { type, touchPoints: gap ? [{ x: at.x - gap, y: at.y, id: 1 }, { x: at.x + gap, y: at.y, id: 2 }] : [] });
    const before = await scaleOf(page);
    await touch("touchStart", 30);
    for (let gap = 36; gap <= 120; gap += 6) await touch("touchMove", gap);
    await touch("touchEnd", 0);
    await page.waitForTimeout(400);
    const factor = (await scaleOf(page)) / before;
    check(Math.abs(factor - 4) < 0.15, `the factor is ${factor}`);
    const after = await onScreen(page, 300, 400);
    check(Math.hypot(at.x - after.x, at.y - after.y) < 4, `the point moved by ${Math.hypot(at.x - after.x, at.y - after.y)}`);
    same(await page.locator(".place").isVisible(), false, "a pinch was taken for a click");
  } },
  { name: "keys zoom, dragging moves", run: async ({ page, url }) => {
    await openPage(page, url);
    const scroller = page.locator(".scroller").first();
    await scroller.focus();
    const fit = await scaleOf(page);
    for (let i = 0; i < 5; i += 1) await page.keyboard.press("+");
    check((await scaleOf(page)) > fit * 2, "+ does not enlarge");
    await page.keyboard.press("-");
    const at = await onScreen(page, 300, 400);
    await page.mouse.move(600, 500);
    await page.mouse.down();
    await page.mouse.move(560, 470);
    await page.mouse.move(500, 400);
    await page.mouse.up();
    const after = await onScreen(page, 300, 400);
    check(Math.abs(at.x - after.x - 100) < 2 && Math.abs(at.y - after.y - 100) < 2, `it moved by ${at.x - after.x}, ${at.y - after.y}`);
    same(await page.locator(".place").isVisible(), false, "a drag was taken for a click");
    await page.keyboard.press("ArrowDown");
    await page.waitForTimeout(400);
    check((await onScreen(page, 300, 400)).y < after.y - 10, "arrow keys do not move");
    await page.keyboard.press("w");
    check((await scaleOf(page)) > fit, "w does not fit the width");
    await page.keyboard.press("0");
    check(Math.abs((await scaleOf(page)) - fit) < 0.02, "0 does not fit the page");
  } },
  { name: "two styles side by side move together", run: async ({ page, url }) => {
    await openPage(page, url);
    await page.selectOption("#choose-compare", "style=catalogue");
    await settled(page);
    await page.waitForFunction(() => document.querySelectorAll(".pane .picture[aria-label]").length === 2 && [...document.querySelectorAll(".picture")].every((one) => one.querySelector("img")));
    check((await label(page, 1)).includes("catalogue"), "the second is not the other style");
    same(await page.locator(".caption:visible").allTextContents(), ["plate", "catalogue"], "captions");
    const at = await box(page, ".scroller", 1);
    await page.mouse.move(at.x + 200, at.y + 300);
    for (let i = 0; i < 8; i += 1) await page.mouse.wheel(0, -120);
    await page.waitForTimeout(500);
    await page.mouse.down();
    await page.mouse.move(at.x + 120, at.y + 240, { steps: 4 });
    await page.mouse.up();
    await page.waitForTimeout(300);
    const [first, second, windows] = [await box(page), await box(page, ".picture", 1), [await box(page, ".scroller"), at]];
    check(Math.abs(first.x - windows[0].x - (second.x - windows[1].x)) < 1.6 && Math.abs(first.y - second.y) < 1.6 && Math.abs(first.width - second.width) < 0.1, "they are not together");
    same(await violations(page), [], "axe");
  } },
  { name: "two spellings blink, slowly, and are flipped by hand", run: async ({ page, url }) => {
    await openPage(page, url);
    await page.selectOption("#choose-compare", "spelling=en-US");
    await page.click("text=Blink");
    await settled(page);
    const shown = () => page.evaluate(() => (document.querySelectorAll(".paper")[1].classList.contains("clear") ? 0 : 1));
    same(await shown(), 0, "first");
    await page.click("#flip");
    same(await shown(), 1, "after the button");
    await page.locator(".scroller").focus();
    await page.keyboard.press("f");
    same(await shown(), 0, "after the key");
    const times = await page.evaluate(async () => {
      const turns = [];
      const watch = new MutationObserver(() => turns.push(performance.now()));
      watch.observe(document.querySelectorAll(".paper")[1], { attributeFilter: ["class"] });
      document.querySelector("#blink-run").click();
      await new Promise((resolve) => setTimeout(resolve, 5200));
      document.querySelector("#blink-run").click();
      const n = turns.length;
      await new Promise((resolve) => setTimeout(resolve, 2000));
      return { turns, held: turns.length === n };
    });
    check(times.turns.length >= 2, "it does not blink");
    check(times.turns.every((time, i) => i === 0 || time - times.turns[i - 1] >= 1000), `it blinks too fast: ${times.turns}`);
    check(times.held, "it cannot be held");
  } },
  { name: "with less motion nothing blinks by itself", options: { reducedMotion: "reduce" }, run: async ({ page, url }) => {
    await openPage(page, url);
    await page.selectOption("#choose-compare", { index: 1 });
    await page.click("text=Blink");
    await settled(page);
    same(await page.locator("#blink-run").isVisible(), false, "the button to blink is there");
    await page.click("#flip");
    same(await page.evaluate(() => document.querySelectorAll(".paper")[1].classList.contains("clear")), false, "it cannot be flipped");
  } },
  { name: "two releases, and one that has no such edition", needs: "faults", run: async ({ page, url }) => {
    await openPage(page, url);
    await page.selectOption("#choose-compare", "release=before");
    await page.waitForFunction(() => document.querySelectorAll(".picture img").length > 7);
    await page.selectOption("#choose-edition", "small");
    await page.waitForSelector(".pane:nth-child(2) .notice:visible");
    same(await page.textContent(".pane:nth-child(2) .notice"), "The earlier release has no edition 'small'.", "notice");
    same(await page.locator(".pane:nth-child(2) .picture img").count(), 0, "images of the other edition");
  } },
  { name: "pages are turned", run: async ({ page, url }) => {
    await openPage(page, url);
    same(await page.locator(".pages").isVisible(), false, "one page has a page choice");
    await page.selectOption("#choose-edition", "pages");
    await page.click("[aria-label='Next page']");
    await settled(page);
    check((await label(page)).includes("page 2 of 3"), `it is called ${await label(page)}`);
    await page.click("[aria-label='Next page']");
    await settled(page);
    same(await page.locator("[aria-label='Next page']").isDisabled(), true, "there is a page after the last");
    await page.locator(".scroller").focus();
    await page.keyboard.press("Alt+PageUp");
    await settled(page);
    check((await label(page)).includes("page 2 of 3"), "the key does not turn");
  } },
];
