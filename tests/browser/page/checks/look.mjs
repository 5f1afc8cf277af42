// Light and dark, spellings, sizes, motion.
import { first } from "../lib/browser.mjs";

const paper = (page) => page.evaluate(() => getComputedStyle(document.body).backgroundColor);

export default async function run(t, data) {
  await t.page("light and dark", { colorScheme: "dark", at: t.address }, async (page) => {
    t.is((await paper(page)) !== "rgb(255, 255, 255)", "dark as the device");
    await page.locator("#theme").selectOption("light");
    t.is((await paper(page)) === "rgb(255, 255, 255)", "light by the switch");
    await page.reload();
    t.is((await paper(page)) === "rgb(255, 255, 255)", "and it stays");
  });
  await t.page("dark by the switch", {}, async (page) => {
    t.is((await paper(page)) === "rgb(255, 255, 255)", "light as the device");
    await page.locator("#theme").selectOption("dark");
    t.is((await paper(page)) !== "rgb(255, 255, 255)", "dark by the switch");
  });

  if (data.spellings.length > 1) {
    const other = data.spellings[1];
    await t.page("spelling", {}, async (page) => {
      await page.locator("#spelling").selectOption(other.tag);
      const word = (key) => other.words[key] ?? data.spellings[0].words[key];
      t.is((await page.locator("label[for=find]").textContent()) === word("page_search"), "the words change");
      t.is((await page.locator("html").getAttribute("lang")) === other.tag, "so does the language of the page");
      t.is((await page.locator("#find").evaluate((e) => e.closest("form").textContent)).includes(word("page_near")), "labels too");
      await page.waitForTimeout(100);
      t.is(page.url().includes(`spelling=${other.tag}`), "the address holds it", page.url());
      const changed = data.colours.find((c) => Array.isArray(c.names[0]) && c.names[0][0] !== c.names[0][1]);
      if (changed) {
        await page.locator("#find").fill(changed.names[0][0]);
        t.is((await page.locator("#results a.nm").first().textContent()) === changed.names[0][1], "names too");
      }
      await page.goto(t.file);
      t.is((await page.locator("html").getAttribute("lang")) === other.tag, "and it stays on the device");
    });
  }

  for (const width of [320, 390, 768, 1024, 1440, 2560, 3840]) {
    const height = width < 800 ? 700 : Math.round((width * 9) / 16);
    const beside = data.colours.slice(0, 6).map((c) => c.key).join(",");
    const lines = data.colours.slice(0, 3).flatMap((c) => c.parts.slice(0, 3).map((p) => `${c.key}:${data.parts[p].key}:12`)).join(",");
    const longest = data.colours.reduce((a, b) => ((first(b.names[0]) ?? "").length > (first(a.names[0]) ?? "").length ? b : a));
    for (const [what, hash] of [["list", ""], ["find", "#find=a"], ["card", `#colour=${longest.key}`], ["side by side", `#beside=${beside}&view=beside`], ["order", `#order=${lines}`]]) {
      await t.page(`${what} at ${width}`, { width, height, hash }, async (page) => {
        if (what === "order") await page.locator("#notice button").first().click();
        await page.waitForTimeout(60);
        const wide = await page.evaluate(() => {
          const open = document.querySelector("dialog[open]");
          const root = open ?? document.documentElement;
          return { over: root.scrollWidth - root.clientWidth, body: document.documentElement.scrollWidth - window.innerWidth };
        });
        t.is(wide.over <= 0 && wide.body <= 0, `${what} at ${width} px: nothing is cut off or scrolls sideways`, wide);
      });
    }
  }

  await t.page("reduced motion", { reducedMotion: "reduce" }, async (page) => {
    await page.waitForSelector(".pic > *");
    const moving = await page.evaluate(() => [...document.querySelectorAll("*")].filter((e) => {
      const s = getComputedStyle(e);
      return s.animationName !== "none" || (s.transitionDuration !== "0s" && s.transitionProperty !== "none");
    }).length);
    t.is(moving === 0, "nothing moves with reduced motion", moving);
  });

  await t.page("fonts", {}, async (page) => {
    await page.waitForTimeout(400);
    const loaded = await page.evaluate(() => [...document.fonts].filter((f) => f.status === "loaded" && !/Plate/.test(f.family)).length);
    const given = await page.evaluate(() => JSON.parse(document.getElementById("fonts").textContent).length);
    t.is(loaded === given, "all fonts of the page load", { loaded, given });
  });

  await t.page("foot", {}, async (page) => {
    const links = await page.locator("footer a").evaluateAll((l) => l.map((a) => a.getAttribute("href")));
    const wanted = (data.preview?.length ?? 0) + (data.shop ? 1 : 0);
    t.is(links.length === wanted && links.every((l) => /^(https?:|pictures\/)/.test(l)), "picture and shop", links);
    t.is(!data.licence || (await page.locator("footer").textContent()).includes(first(data.licence)), "licence");
    if (data.preview?.length) t.is(await page.locator("footer li a").first().evaluate((a) => a.hasAttribute("download")), "the picture is downloaded");
  });
}
