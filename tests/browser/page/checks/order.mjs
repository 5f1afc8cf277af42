// The list to order.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { first } from "../lib/browser.mjs";

export default async function run(t, data) {
  const words = data.spellings[0].words;
  const colour = data.colours.find((c) => c.parts.length > 1 && c.numbers[0] && c.numbers[1] && data.parts[c.parts[0]].numbers[1]);
  const [a, b] = colour.parts.map((p) => data.parts[p]);
  const grants = { permissions: ["clipboard-read", "clipboard-write"], acceptDownloads: true };
  let shared = "";

  for (const [where, at] of [["file", t.file], ["host", t.address]]) {
    await t.page(`order, ${where}`, { at, hash: `#colour=${colour.key}`, ...grants }, async (page) => {
      const fields = page.locator("#card .count input");
      await fields.nth(0).fill("20");
      await fields.nth(0).press("Tab");
      await page.locator("#card .part").nth(1).locator("button").nth(1).click();
      await fields.nth(1).press("ArrowUp");
      t.is((await fields.nth(1).inputValue()) === "2", "counts by typing, by button and by key");
      await fields.nth(1).fill("-5; DROP");
      await fields.nth(1).press("Tab");
      t.is((await fields.nth(1).inputValue()) === "", "what is no count is not taken");
      await fields.nth(1).press("ArrowUp");
      await page.reload();
      t.is((await page.locator("#n-order").textContent()) === "2", "the list stays on the device");
      await page.keyboard.press("Escape");
      await page.locator("#to-order").click();
      const dialog = page.locator("#order");
      t.is((await dialog.locator("tbody tr").count()) === 2, "two lines");
      await dialog.locator("#order-listing").selectOption("1");
      const text = await dialog.locator("tbody tr").first().textContent();
      t.is(text.includes(colour.numbers[1]) && text.includes(a.numbers[1]), "the numbers of the list one orders from", text);
      await dialog.getByText(words.page_copy_text, { exact: true }).click();
      const copied = await page.evaluate(() => navigator.clipboard.readText());
      t.is(copied.includes(`20 × ${a.numbers[1]}`) && copied.includes(colour.numbers[1]), "copied as text", copied);
      await dialog.getByText(words.page_copy_csv, { exact: true }).click();
      const csv = await page.evaluate(() => navigator.clipboard.readText());
      t.is(csv.split(/\r?\n/).length === 4 && csv.includes(a.numbers[1]), "copied as CSV", csv);
      const [download] = await Promise.all([page.waitForEvent("download"), dialog.getByText(words.page_save_csv, { exact: true }).click()]);
      const path = join(t.scratch, `${where}.csv`);
      await download.saveAs(path);
      const saved = readFileSync(path, "utf8");
      t.is(saved.startsWith("\ufeff") && saved.includes(`,20\r\n`) && download.suggestedFilename().endsWith(".csv"), "saved as CSV", saved);
      const [asText] = await Promise.all([page.waitForEvent("download"), dialog.getByText(words.page_save_text, { exact: true }).click()]);
      t.is(asText.suggestedFilename().endsWith(".txt"), "saved as text");
      await dialog.getByText(words.page_share, { exact: true }).click();
      shared = await page.evaluate(() => navigator.clipboard.readText());
      t.is(shared.includes(`${colour.key}:${a.key}:20,${colour.key}:${b.key}:1`), "its address is copied", shared);
      await dialog.locator("tbody tr").first().locator("button").last().click();
      t.is((await dialog.locator("tbody tr").count()) === 1, "a line is taken off");
      await dialog.getByText(words.page_order_none, { exact: true }).click();
      t.is((await dialog.textContent()).includes(words.page_order_empty), "the list is emptied");
    });
  }

  await t.page("a list that was sent", { at: t.address, hash: `#${shared.split("#")[1]}` }, async (page) => {
    t.is(await page.locator("#notice").isVisible(), "is offered, not taken");
    t.is((await page.locator("#n-order").textContent()) === "", "the own list is as it was");
    await page.locator("#notice button").first().click();
    t.is((await page.locator("#order tbody tr").count()) === 2, "is taken on request");
    t.is(!page.url().includes("order="+colour.key), "and leaves the address", page.url());
  });

  await t.page("no storage", { at: t.address, hash: `#colour=${colour.key}` }, async (page) => {
    await page.addInitScript(() => Object.defineProperty(window, "localStorage", { get: () => { throw new DOMException("denied", "SecurityError"); } }));
    await page.reload();
    await page.locator("#card .part").first().locator("button").nth(1).click();
    t.is((await page.locator("#card .live").textContent()) === words.page_not_kept, "a list that cannot be kept is said");
    t.is((await page.locator("#n-order").textContent()) === "1", "and works as long as the page is open");
    t.is((await page.locator("#card-title").textContent()) === first(colour.names[data.order_from]), "the card is as ever");
  });
}
