// The state in the address, and garbage in it.
import { first } from "../lib/browser.mjs";

const GARBAGE = [
  "#%", "#find=%E0%A4%A", "#=&=&&&", "#colour=__proto__", "#family=constructor&part=toString&year=1e9", "#near=javascript:alert(1)",
  `#find=${encodeURIComponent('"><img src=x onerror=alert(1)><script>alert(1)</script>')}`, "#beside=,,,,&on=red&view=zzz",
  "#order=a:b:c,::,:,x:y:99999999999999", "#order=__proto__:__proto__:1", `#find=${"a".repeat(100000)}`, "#year=-1&spelling=<b>",
  "#view=beside", "#view=order&colour=nothing", "#find=%00%01%ff&near=%23%23%23", `#find=${encodeURIComponent("\ud83e\uddf5 ".repeat(50))}`,
  `#beside=${"x,".repeat(5000)}`, "#find=[a-z]+(((&find=\\", "#find=%F0%9F%A7%B5",
];

export default async function run(t, data) {
  const colour = data.colours.find((c) => c.numbers[0] && c.first && c.parts.length > 0);
  const family = data.families[colour.family].key;
  const part = data.parts[colour.parts[0]].key;

  await t.page("address", {}, async (page) => {
    await page.locator("#find").fill(colour.numbers[0]);
    await page.locator("#family").selectOption(family);
    await page.locator("#part").selectOption(part);
    await page.locator("#year").selectOption(String(colour.first));
    await page.waitForTimeout(400);
    const url = page.url();
    t.is(["find=", `family=${family}`, `part=${part}`, `year=${colour.first}`].every((x) => url.includes(x)), "holds the find", url);
    const before = await page.locator("#results a.nm").allTextContents();
    await page.goto("about:blank");
    await page.goto(url);
    t.is(JSON.stringify(await page.locator("#results a.nm").allTextContents()) === JSON.stringify(before) && before.length > 0, "and brings it back", before.length);
    t.is((await page.locator("#find").inputValue()) === colour.numbers[0] && (await page.locator("#family").inputValue()) === family, "the fields too");
    await page.evaluate((key) => { location.hash = `#colour=${key}`; }, colour.key);
    await page.waitForTimeout(200);
    t.is((await page.locator("#card-title").textContent()) === first(colour.names[data.order_from]) && (await page.locator("#card").isVisible()), "an address typed by hand is followed");
  });

  for (const hash of GARBAGE) {
    const shown = hash.length > 50 ? `${hash.slice(0, 47)}...` : hash;
    await t.page(`garbage ${shown}`, { hash }, async (page) => {
      let spoke = false;
      page.on("dialog", (d) => { spoke = true; d.dismiss(); });
      await page.waitForSelector("html.js #tally:not(:empty)", { state: "attached" });
      const made = await page.evaluate(() => document.querySelectorAll("main img[src=x], main script").length);
      t.is(!spoke && made === 0, `garbage is harmless: ${shown}`);
    });
  }
}
