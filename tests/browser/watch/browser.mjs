// The page of `watch` as a person uses it.
//   node browser.mjs --url URL --folder FOLDER [--only WORD] [--shots FOLDER] [--pid PID]
// FOLDER: a copy of the demo that the program watches, with an edition "pages" of two pages, and the release before.
import { startBrowser } from "./start.mjs";
import { check, watchedFiles } from "./tools.mjs";
import { viewing } from "./cases-viewing.mjs";
import { telling } from "./cases-telling.mjs";
import { updating } from "./cases-updating.mjs";
import { reaching } from "./cases-reaching.mjs";

const value = (/** @type {string} */ name) => (process.argv.includes(name) ? process.argv[process.argv.indexOf(name) + 1] : undefined);
const url = value("--url") ?? "";
const folder = value("--folder");
check(url !== "" && folder !== undefined, "--url and --folder are needed");
const files = watchedFiles(/** @type {string} */ (folder));
const browser = await startBrowser();
const blank = await browser.newPage();
const only = value("--only") ?? "";
let failed = 0;

// The program is ended last.
const pid = Number(value("--pid"));
const end = () => process.kill(pid, "SIGINT");
const all = [...viewing, ...telling, ...updating, ...reaching];
const last = (one) => Number(one.needs === "end");
for (const { name, needs, options, run } of all.sort((a, b) => last(a) - last(b))) {
  if (!name.includes(only) || (needs === "end" && !pid)) continue;
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  /** @type {string[]} */
  const complaints = [];
  /** @type {string[]} */
  const asked = [];
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && complaints.push(message.text()));
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("request", (request) => asked.push(request.url().slice(url.length)));
  const start = performance.now();
  try {
    const remark = await run({ page, context, browser, blank, url, files, asked, end });
    const unexpected = complaints.filter((text) => !/status of 409/.test(text)).filter((text) => !needs || !/status of (404|409|500|503)|ERR_(CONNECTION|INCOMPLETE|EMPTY)/.test(text));
    check(unexpected.length === 0, `the console says ${unexpected[0]}`);
    console.log(`ok        ${name} (${Math.round(performance.now() - start)} ms)${remark ? `: ${remark}` : ""}`);
  } catch (error) {
    failed += 1;
    console.log(`FAILED    ${name}: ${error instanceof Error ? error.message.split("\n").slice(0, 4).join(" ") : error}`);
    if (value("--shots")) await page.screenshot({ path: `${value("--shots")}/${name.replaceAll(/\W+/g, "-")}.png` }).catch(() => undefined);
  }
  await context.close();
  if (files.restore()) await new Promise((resolve) => setTimeout(resolve, 600));
}
await browser.close();
console.log(failed ? `${failed} failed` : "all passed");
process.exit(failed ? 1 : 0);
