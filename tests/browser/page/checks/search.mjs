// Finding colours by typing, by facets and by a colour.
import { first } from "../lib/browser.mjs";

const names = (page) => page.locator("#results a.nm").allTextContents();

/** A slip of the pen in the middle of a word. */
const slip = (word) => word.slice(0, 3) + word.slice(4);

export default async function run(t, data) {
  const long = data.colours.find((c) => /^[A-Za-z]{8,}$/.test(first(c.names[0]) ?? "")) ?? data.colours[0];
  const name = first(long.names[0]);
  const other = data.colours.find((c) => first(c.names[1]) && c.numbers[1]) ?? long;
  const us = data.colours.find((c) => c.names.some((n) => Array.isArray(n) && n[0] !== n[1]));

  await t.page("search", {}, async (page) => {
    const find = page.locator("#find");
    await page.keyboard.press("/");
    t.is(await find.evaluate((e) => e === document.activeElement), "the key / goes to the search");
    await find.pressSequentially(name.slice(0, 5));
    t.is((await names(page)).includes(name), "half a word finds the colour", await names(page));
    await find.fill(slip(name));
    t.is((await names(page))[0] === name, "a misspelling finds the colour first", (await names(page)).slice(0, 3));
    t.is((await page.locator("#tally").textContent()).includes(data.spellings[0].words.page_about), "it is said that the find is not exact");
    await find.fill(name.slice(3));
    t.is((await names(page)).includes(name), "the end of a word finds the colour");
    await find.fill(other.numbers[1]);
    t.is((await page.locator("#results .row").first().getAttribute("data-i")) === String(data.colours.indexOf(other)), "a number of the second list finds the colour first");
    await find.fill(other.numbers[1].replace(/\W/g, ""));
    t.is((await page.locator("#results .row").first().getAttribute("data-i")) === String(data.colours.indexOf(other)), "a number without its hyphen too");
    if (us) {
      const text = us.names.find((n) => Array.isArray(n) && n[0] !== n[1]);
      for (const form of text) {
        await find.fill(form);
        t.is((await page.locator("#results .row").first().getAttribute("data-i")) === String(data.colours.indexOf(us)), `found in either spelling: ${form}`);
      }
    }
    await find.fill(first(data.listings[1]?.title) ?? "");
    const inSecond = data.colours.filter((c) => c.names[1] || c.numbers[1]).length;
    t.is((await page.locator("#tally").textContent()).startsWith(String(inSecond)), "the name of a list finds its colours", await page.locator("#tally").textContent());
    await find.fill("qqqqxxzzqq");
    t.is((await names(page)).length === 0 && (await page.locator("#tally").textContent()) === data.spellings[0].words.page_nothing, "nothing found is said in words");
    const part = data.parts[0];
    await find.fill(part.numbers[0]);
    await page.locator("#hints button").first().click();
    t.is((await page.locator("#part").inputValue()) === part.key, "a part's number is offered as a filter");
    await page.locator("#clear").click();
    t.is((await page.locator("#tally").textContent()).startsWith(String(data.colours.length)), "all colours are shown again");
  });

  await t.page("facets", {}, async (page) => {
    const tally = async () => Number((await page.locator("#tally").textContent()).match(/\d+/)?.[0] ?? 1);
    const family = data.families.length - 1;
    await page.locator("#family").selectOption(data.families[family].key);
    t.is((await tally()) === data.colours.filter((c) => c.family === family).length, "by family");
    await page.locator("#family").selectOption("");
    const finish = data.finishes.length - 1;
    await page.locator("#finish").selectOption(data.finishes[finish].key);
    t.is((await tally()) === data.colours.filter((c) => data.families[c.family].finish === finish).length, "by finish");
    await page.locator("#finish").selectOption("");
    await page.locator("#part").selectOption(data.parts[1].key);
    t.is((await tally()) === data.colours.filter((c) => c.parts.includes(1)).length, "by part");
    await page.locator("#part").selectOption("");
    const year = data.colours.find((c) => c.first)?.first ?? data.year;
    await page.locator("#year").selectOption(String(year));
    t.is((await tally()) === data.colours.filter((c) => (c.first ?? 0) <= year && year <= (c.last ?? 9999)).length, "by year");
  });

  await t.page("nearest", {}, async (page) => {
    const wanted = data.colours.findIndex((c) => c.value && data.colours.filter((o) => o.value === c.value).length === 1);
    await page.locator("#near").fill(data.colours[wanted].value);
    t.is((await page.locator("#results .row").first().getAttribute("data-i")) === String(wanted), "a typed colour finds the nearest");
    const far = (await page.locator("#results .why").allTextContents()).map((s) => parseFloat(s.replace(/^\D+/, "")));
    t.is(far.length > 3 && far.every((v, i) => i === 0 || v >= far[i - 1]), "in the order of the difference", far.slice(0, 6));
    await page.locator("#near").fill("not a colour");
    t.is((await page.locator("#near").getAttribute("aria-invalid")) === "true", "what is no colour is marked");
    await page.locator("#pick").fill("#123456");
    t.is((await page.locator("#near").inputValue()) === "#123456" && page.url().includes("near=123456"), "a picked colour", page.url());
    await page.locator("#clear").click();
    await page.locator("#find").fill(data.colours[wanted].value);
    t.is((await page.locator("#results .row").first().getAttribute("data-i")) === String(wanted), "a colour typed into the search");
  });

  await t.page("scrolling", { height: 700 }, async (page) => {
    for (let i = 0; i < 60 && (await page.locator("#results .row").count()) < data.colours.length; i++) {
      await page.mouse.wheel(0, 4000);
      await page.waitForTimeout(40);
    }
    t.is((await page.locator("#results .row").count()) === data.colours.length, "scrolling brings all colours");
    await page.waitForTimeout(1500);
    t.is((await page.locator("#results .row .pic:empty").count()) === data.colours.filter((c) => c.parts.length === 0).length, "every colour shows a part", await page.locator("#results .row .pic:empty").count());
  });
}
