// The page without scripts.
import { first } from "../lib/browser.mjs";

export default async function run(t, data) {
  await t.page("without scripts", { javaScriptEnabled: false }, async (page) => {
    const rows = page.locator("#plain tbody tr:not(.fam)");
    t.is((await rows.count()) === data.colours.length, "every colour has a row", await rows.count());
    t.is(await page.locator("#plain caption").isVisible(), "the table is shown");
    t.is(!(await page.locator("#find").isVisible()), "what needs scripts is not");
    const at = data.colours.findIndex((c) => c.value && c.numbers[1] && first(c.names[1]) && c.parts.length > 0);
    const colour = data.colours[at];
    const text = await page.locator(`tr[id="${colour.key}"]`).textContent();
    const said = [first(colour.names[0]), colour.numbers[0], first(colour.names[1]), colour.numbers[1], data.parts[colour.parts[0]].numbers[data.order_from], String(colour.first ?? "")];
    t.is(said.every((s) => text.includes(s ?? "")), "with names, numbers, parts and years", text);
    t.is((await page.locator(`tr[id="${colour.key}"] .chip`).getAttribute("class")).includes(`c${at}`), "and its value");
    t.is((await page.locator("#plain thead th").count()) === 3 + 2 * data.listings.length, "the head has a cell a column");
    t.is(!(await page.content()).includes("<!--#") && !(await page.locator("body").innerText()).includes("page_"), "no placeholder is left");
  });
  await t.page("without scripts, narrow", { javaScriptEnabled: false, width: 320, height: 700 }, async (page) => {
    const box = await page.locator("#plain").boundingBox();
    t.is(box.x >= 0 && box.x + box.width <= 320, "the table scrolls by itself on a narrow screen", box);
  });
}
