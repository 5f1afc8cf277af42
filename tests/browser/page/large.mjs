// Two thousand colours in thirty parts: size, time of a search, time of the first view.
// node large.mjs FOLDER DEMO: folders that the program wrote, of a range of 2,000 colours and of the demo
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { launch, serve } from "./lib/browser.mjs";

const [folder, demo] = process.argv.slice(2).map((one) => resolve(one));
const packedSize = (one) => gzipSync(readFileSync(join(one, "index.html")), { level: 9 }).length / 1000;
let failed = 0;
const measure = (what, value, limit, unit) => {
  const good = value <= limit;
  // A size is the same everywhere; a time is that of the machine, and is only printed.
  if (!good && unit !== "ms") failed++;
  console.log(`${good ? "ok    " : unit === "ms" ? "slow  " : "FAILED"} ${what}: ${value.toFixed(unit === "ms" ? 1 : 0)} ${unit} (limit ${limit})`);
};
measure("compressed size, 2,000 colours", packedSize(folder), 1500, "kB");
measure("compressed size, the demo", packedSize(demo), 400, "kB");

const browser = await launch();
const host = await serve(folder);

/** From the key to the frame in which the rows are painted. */
async function typing() {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  const page = await context.newPage();
  await page.goto(host.address);
  await page.waitForSelector("#results .row");
  await page.waitForTimeout(1500);
  const client = await context.newCDPSession(page);
  await client.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  const queries = ["seaw", "wentltr", "3-10", "mussl", "b"];
  const run = await page.evaluate(async (texts) => {
    const field = document.getElementById("find");
    const times = [];
    const frame = () => new Promise((done) => requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => done(performance.now());
      port2.postMessage(0);
    }));
    for (const text of texts) {
      for (let n = 1; n <= text.length; n++) {
        await frame();
        await new Promise((done) => setTimeout(done, 60));
        await frame();
        // In step with a frame, so that waiting for one is not counted.
        field.value = text.slice(0, n);
        const start = performance.now();
        field.dispatchEvent(new Event("input", { bubbles: true }));
        const script = performance.now() - start;
        void document.body.offsetHeight;
        const layout = performance.now() - start;
        const painted = (await frame()) - start;
        times.push({ text: field.value, script, layout, painted });
      }
    }
    return times;
  }, queries);
  await context.close();
  return run;
}

// On a busy machine the least of several runs, each with a fresh page, is the time that it takes.
const RUNS = 3;
const runs = [];
for (let i = 0; i < RUNS; i++) runs.push(await typing());
const least = (i, key) => Math.min(...runs.map((run) => run[i][key]));
/** How much longer everything takes because the machine does other things too. */
function busy() {
  const from = process.hrtime.bigint();
  const cpu = process.cpuUsage();
  for (let i = 0, x = 1; i < 3e8; i++) x = (x * 7) % 1000003;
  const used = process.cpuUsage(cpu);
  return Number(process.hrtime.bigint() - from) / 1000 / (used.user + used.system);
}
console.log(`       the machine is busy: everything takes ${busy().toFixed(1)} times as long`);
const times = runs[0].map((x, i) => ({ text: x.text, script: least(i, "script"), layout: least(i, "layout"), painted: least(i, "painted") }));
const sorted = (key) => times.map((x) => x[key]).sort((a, b) => a - b);
const at = (list, share) => list[Math.min(list.length - 1, Math.floor(list.length * share))];
for (const key of ["script", "layout", "painted"]) console.log(`       ${key}: median ${at(sorted(key), 0.5).toFixed(1)} ms, 95 % ${at(sorted(key), 0.95).toFixed(1)} ms, most ${at(sorted(key), 1).toFixed(1)} ms`);
console.log(`       slowest: ${times.sort((a, b) => b.layout - a.layout).slice(0, 4).map((x) => `"${x.text}" ${x.script.toFixed(1)}+${(x.layout - x.script).toFixed(1)}`).join(", ")}`);
measure("key to painted results, median", at(sorted("painted"), 0.5), 30, "ms");
measure("key to results laid out, 95 %", at(sorted("layout"), 0.95), 30, "ms");

async function firstView(address, what) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true });
  const page = await context.newPage();
  const client = await context.newCDPSession(page);
  await client.send("Network.enable");
  await client.send("Network.emulateNetworkConditions", { offline: false, latency: 150, downloadThroughput: (1.6e6 / 8), uploadThroughput: (750e3 / 8) });
  await client.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  await page.goto(address, { waitUntil: "commit" });
  await page.waitForSelector("#results .row", { timeout: 60000 });
  const { paint, ready } = await page.evaluate(() => ({
    paint: performance.getEntriesByType("paint").find((e) => e.name === "first-contentful-paint")?.startTime ?? Infinity,
    ready: performance.now(),
  }));
  measure(`first view, ${what}`, paint, 1000, "ms");
  console.log(`       can be searched after ${ready.toFixed(0)} ms`);
  await context.close();
}
await firstView(host.address, "2,000 colours");
const second = await serve(demo);
await firstView(second.address, "the demo");
await browser.close();
host.close();
second.close();
process.exit(failed > 0 ? 1 : 0);
