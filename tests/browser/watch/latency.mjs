// From a save to the new sheet on the screen: the median of twenty.
//   node latency.mjs --url URL --folder FOLDER [--edition NAME]
// FOLDER: what the program watches, with a range.ron in which a colour has the value #c92a2e.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { startBrowser } from "./start.mjs";
import { openPage, settled } from "./tools.mjs";

const value = (name) => (process.argv.includes(name) ? process.argv[process.argv.indexOf(name) + 1] : undefined);
const file = join(value("--folder"), "range.ron");
const text = readFileSync(file, "utf8");
const browser = await startBrowser();
const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
await openPage(page, value("--url"));
if (value("--edition")) {
  await page.selectOption("#choose-edition", value("--edition"));
  await settled(page);
}
const times = [];
for (let i = 0; i < 20; i += 1) {
  const before = await page.evaluate(() => performance.getEntriesByType("measure").length);
  const saved = Date.now();
  writeFileSync(file, text.replaceAll("#c92a2e", `#c92a${(0x10 + i).toString(16)}`));
  await page.waitForFunction((n) => performance.getEntriesByType("measure").length > n, before, { polling: 5 });
  times.push(await page.evaluate(() => {
    const last = performance.getEntriesByType("measure").at(-1);
    return performance.timeOrigin + last.startTime + last.duration;
  }) - saved);
  await page.waitForTimeout(700);
}
writeFileSync(file, text);
await browser.close();
times.sort((a, b) => a - b);
console.log(`from a save to the sheet on the screen: median ${Math.round(times[10])} ms, least ${Math.round(times[0])}, most ${Math.round(times[19])}`);
