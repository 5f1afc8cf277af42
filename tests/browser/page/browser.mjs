// Everything a buyer does with the page, in a browser: node tests/browser.mjs FOLDER
import { resolve } from "node:path";
import { Checks, dataOf, launch, serve } from "./lib/browser.mjs";

const folder = resolve(process.argv[2] ?? "");
const only = process.argv[3];
const browser = await launch();
const host = await serve(folder);
const checks = new Checks(browser, folder, host.address);
const data = dataOf(folder);
for (const name of ["search", "card", "beside", "order", "address", "look", "plain", "print", "access"]) {
  if (only && only !== name) continue;
  const { default: run } = await import(`./checks/${name}.mjs`);
  await run(checks, data);
}
await browser.close();
host.close();
console.log(`${checks.passed} passed, ${checks.failed} failed`);
process.exit(checks.failed > 0 ? 1 : 0);
