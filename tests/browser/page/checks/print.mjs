// The page printed.
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { first } from "../lib/browser.mjs";

async function printed(t, page, name) {
  const path = join(t.scratch, `${name}.pdf`);
  writeFileSync(path, await page.pdf({ format: "A4", printBackground: true, preferCSSPageSize: true }));
  const text = execFileSync("pdftotext", ["-layout", path, "-"], { encoding: "utf8", maxBuffer: 1e8 });
  return { text: text.replace(/\s+/g, " "), pages: text.split("\f").length - 1, path };
}

export default async function run(t, data) {
  const words = data.spellings[0].words;
  await t.page("print", { colorScheme: "dark" }, async (page) => {
    await page.waitForTimeout(300);
    const { text, pages } = await printed(t, page, "all");
    const missing = data.colours.filter((c) => c.numbers[0] && !text.includes(c.numbers[0]));
    t.is(missing.length === 0, "every colour is printed", missing.length);
    t.is(text.includes(words.page_true) && !text.includes(words.page_search), "with the note, without the fields");
    t.is(pages <= Math.ceil(data.colours.length / 40) + 2, "on few pages", pages);
    const dark = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    await page.emulateMedia({ media: "print" });
    const light = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    t.is(light === "rgb(255, 255, 255)" && dark !== light, "on white paper, in the dark too", { dark, light });
  });
  const colour = data.colours.find((c) => c.alike?.length && c.parts.length > 2) ?? data.colours[0];
  await t.page("print a card", { hash: `#colour=${colour.key}` }, async (page) => {
    await page.waitForTimeout(300);
    const { text, pages } = await printed(t, page, "card");
    t.is(text.includes(first(colour.names[0])) && text.includes(words.page_alike) && text.includes(words.page_true), "the card is printed whole");
    t.is(!text.includes(words.page_family + " all") && pages <= 2, "and alone", pages);
  });
  await t.page("print an order", { hash: `#order=${colour.parts.map((p) => `${colour.key}:${data.parts[p].key}:7`).join(",")}` }, async (page) => {
    await page.locator("#notice button").first().click();
    await page.waitForTimeout(200);
    const { text, pages } = await printed(t, page, "order");
    t.is(colour.parts.every((p) => text.includes(data.parts[p].numbers[data.order_from] ?? "")) && pages === 1, "the list to order is printed", pages);
  });
}
