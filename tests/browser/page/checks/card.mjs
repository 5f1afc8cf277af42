// The card of a colour.
import { first } from "../lib/browser.mjs";

export default async function run(t, data) {
  const words = data.spellings[0].words;
  const index = data.colours.findIndex((c) => c.alike?.length && c.numbers[1] && c.parts.length > 1 && c.value && c.first);
  const colour = data.colours[index];
  const name = first(colour.names[data.order_from]);
  const grants = { permissions: ["clipboard-read", "clipboard-write"] };

  await t.page("card", { hash: `#find=${encodeURIComponent(name)}`, ...grants }, async (page) => {
    await page.locator("#results .row").first().click();
    const card = page.locator("#card");
    t.is(await card.isVisible(), "a click on a row opens the card");
    t.is((await page.locator("#card-title").textContent()) === name, "its title is the name");
    t.is(await page.locator("#card-title").evaluate((e) => e === document.activeElement), "the focus is on the title");
    const flat = await card.locator(".flat").evaluate((e) => getComputedStyle(e).backgroundColor);
    const rgb = colour.value.match(/[0-9a-f]{2}/g).map((h) => parseInt(h, 16)).join(", ");
    t.is(flat === `rgb(${rgb})`, "the flat value is exact", flat);
    const box = await card.locator(".flat").boundingBox();
    t.is(box.width > 300 && box.height > 200, "the flat value is large", box);
    t.is((await card.locator(".part").count()) === colour.parts.length, "all parts are there");
    const numbers = await card.locator(".part > .no").allTextContents();
    t.is(colour.parts.every((p, i) => numbers[i].startsWith(data.parts[p].numbers[data.order_from] ?? words.page_no_number)), "the parts have their numbers");
    await page.waitForFunction(() => [...document.querySelectorAll("#card .art img")].every((one) => one.complete));
    const pictures = await card.locator(".art img").evaluateAll((all) => all.filter((one) => one.naturalWidth > 0).length);
    t.is(pictures === colour.parts.length, "every part is drawn", pictures);
    const text = await card.textContent();
    for (const [i, l] of data.listings.entries()) {
      t.is(text.includes(first(l.title)) && text.includes(first(colour.names[i]) ?? "") && text.includes(colour.numbers[i] ?? ""), `name and number in ${first(l.title)}`);
    }
    t.is(text.includes(words.page_from.replace("{first}", colour.first)) || text.includes(String(colour.last)), "since when");
    t.is(text.includes(words.page_true), "that no screen shows it truly");
    t.is(text.includes(first(colour.alike[0].words)) && text.includes(first(data.colours[colour.alike[0].with].names[data.order_from]) ?? "?"), "what it is taken for, in words");
    t.is((await card.locator(".alike").first().locator(".eyes .pair").count()) === 3, "as other eyes see them");
    await card.locator(".lists .no .copy").nth(1).click();
    t.is((await page.evaluate(() => navigator.clipboard.readText())) === colour.numbers[1], "a number is copied");
    await page.waitForFunction(() => document.querySelector("#card .live")?.textContent !== "");
    t.is((await card.locator(".live").textContent()).includes(colour.numbers[1]), "and that is said");
    await card.locator(".alike a").first().click();
    t.is((await page.locator("#card-title").textContent()) === (first(data.colours[colour.alike[0].with].names[data.order_from])), "a look-alike leads to its card");
    await page.keyboard.press("Escape");
    t.is(!(await card.isVisible()), "Escape closes it");
  });

  await t.page("card by keys", {}, async (page) => {
    await page.locator("#find").focus();
    await page.keyboard.type(name);
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    t.is((await page.locator("#card-title").textContent()) === name, "found and opened with keys only");
    await page.keyboard.press("Escape");
    t.is(await page.locator("#results a.nm").first().evaluate((e) => e === document.activeElement), "the focus is back on the name");
    await page.keyboard.press("ArrowUp");
    t.is(await page.locator("#find").evaluate((e) => e === document.activeElement), "and goes up to the search");
    await page.keyboard.press("Enter");
    t.is(await page.locator("#results a.nm").first().evaluate((e) => e === document.activeElement), "Enter in the search goes to the first find");
  });

  await t.page("card, steps and history", {}, async (page) => {
    await page.locator("#results a.nm").first().click();
    const at = await page.locator("#card-title").textContent();
    await page.keyboard.press("ArrowRight");
    const next = await page.locator("#card-title").textContent();
    t.is(next !== at && (await page.locator("#card").isVisible()), "the arrow goes to the next colour");
    await page.keyboard.press("ArrowLeft");
    t.is((await page.locator("#card-title").textContent()) === at, "and back");
    await page.goBack();
    t.is(!(await page.locator("#card").isVisible()), "the browser's way back closes the card");
    await page.goForward();
    t.is(await page.locator("#card").isVisible(), "and forward opens it again");
  });

  const unknown = data.colours.find((c) => !c.value);
  if (unknown) {
    await t.page("card without a value", { hash: `#colour=${unknown.key}` }, async (page) => {
      t.is((await page.locator("#card .flat").textContent()) === words.page_no_value, "an unknown value is said");
    });
  }
}
