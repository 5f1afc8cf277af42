// Every size of window, light and dark, and what a machine can find of barriers.
import { check, openPage, same, settled, violations } from "./tools.mjs";

export const reaching = [
  ...[[320, 640], [390, 844], [900, 800], [1440, 900], [3840, 2160]].map(([width, height]) => ({
    name: `a window of ${width} x ${height}`, options: { viewport: { width, height } }, run: async ({ page, url }) => {
      await openPage(page, url);
      const over = await page.evaluate(() => [document.documentElement.scrollWidth - innerWidth,
        [...document.querySelectorAll("button, select, input, .entry, h1")].filter((one) => one.checkVisibility() && !one.closest(".unseen")).map((one) => [one.getBoundingClientRect(), one.id || one.textContent])
          .filter(([r]) => r.right > innerWidth + 0.5 || r.left < -0.5).map(([, name]) => name)]);
      same(over, [0, []], "past the edge");
      const desk = await page.locator(".scroller").boundingBox();
      check(desk.height >= 240 && desk.width >= 250, `the desk is only ${desk.width} x ${desk.height}`);
      same(await violations(page), [], "axe");
      for (const tab of ["contents", "figures", "looks", "paper", "changes"]) {
        await page.click(`#tab-${tab}`);
        same(await violations(page), [], `axe in ${tab}`);
      }
      await page.click("#zoom-ruler");
      const bar = await page.locator(".ruler-bar").boundingBox();
      check(bar.x >= 0 && bar.x + bar.width <= width, "the ruler does not fit");
      same(await violations(page), [], "axe in the ruler");
      await page.keyboard.press("Escape");
    },
  })),
  { name: "dark frame, white sheet", options: { colorScheme: "dark" }, run: async ({ page, url }) => {
    await openPage(page, url);
    const tone = (selector) => page.locator(selector).first().evaluate((one) => getComputedStyle(one).backgroundColor);
    same(await tone(".paper"), "rgb(255, 255, 255)", "sheet");
    check(Number(/\d+/.exec(await tone("body"))[0]) < 60, "the frame is not dark");
    same(await violations(page), [], "axe");
    await page.selectOption("#choose-compare", { index: 1 });
    await page.click("text=Blink");
    await settled(page);
    same(await violations(page), [], "axe while comparing");
    await page.click("#keys-button");
    same(await violations(page), [], "axe in the keys");
    await page.keyboard.press("Escape");
    await page.click("#tab-contents");
    await page.locator("#panel-contents .thing").nth(3).click();
    same(await violations(page), [], "axe with a place");
  } },
  { name: "the panel is put away and stays so", run: async ({ page, url }) => {
    await openPage(page, url);
    const before = (await page.locator(".scroller").boundingBox()).width;
    await page.click("#panel-toggle");
    check((await page.locator(".scroller").boundingBox()).width > before + 200, "the sheet has no more room");
    await page.reload();
    await page.waitForSelector(".paper img");
    same(await page.locator("#panel").isVisible(), false, "the panel is back");
    same(await page.getAttribute("#panel-toggle", "aria-expanded"), "false", "its button");
  } },
];
