// A browser that stays off the network, and checks that print one line each.
import { existsSync, mkdtempSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import { gzipSync } from "node:zlib";
import { extname, join, normalize } from "node:path";
import { tmpdir } from "node:os";
import { chromium } from "playwright-core";

const ARGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const PLACES = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

export const launch = () => chromium.launch({ executablePath: process.env.CHROMIUM ?? PLACES.find((p) => existsSync(p)), headless: true, args: ARGS });

/** Serves a folder as any web host does, compressed. */
export function serve(folder) {
  const types = { ".html": "text/html; charset=utf-8", ".png": "image/png" };
  const server = createServer((request, response) => {
    const path = normalize(new URL(request.url, "http://x").pathname).replace(/\/$/, "/index.html");
    try {
      const body = gzipSync(readFileSync(join(folder, path)));
      response.writeHead(200, { "content-type": types[extname(path)] ?? "application/octet-stream", "content-encoding": "gzip", "content-length": body.length });
      response.end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  return new Promise((done) => server.listen(0, "127.0.0.1", () => done({ address: `http://127.0.0.1:${server.address().port}/`, close: () => server.close() })));
}

/** What every group of checks is given. */
export class Checks {
  constructor(browser, folder, address) {
    Object.assign(this, { browser, folder, address, failed: 0, passed: 0, scratch: mkdtempSync(join(tmpdir(), "page-")) });
    this.file = `file://${folder}/index.html`;
  }

  is(condition, what, found = "") {
    if (condition) this.passed++;
    else this.failed++;
    console.log(`${condition ? "ok    " : "FAILED"} ${what}${condition || found === "" ? "" : `: ${JSON.stringify(found)}`}`);
  }

  /** Runs `act` with a fresh page; anything it throws is a failure. */
  async page(what, options, act) {
    const { hash = "", at = this.file, width = 1280, height = 900, ...rest } = options;
    const context = await this.browser.newContext({ viewport: { width, height }, ...rest });
    const page = await context.newPage();
    page.setDefaultTimeout(5000);
    const requests = [];
    const faults = [];
    page.on("request", (r) => requests.push(r.url()));
    page.on("pageerror", (e) => faults.push(e.message));
    page.on("console", (m) => m.type() === "error" && faults.push(m.text()));
    try {
      await page.goto(at + hash);
      await act(page, requests);
    } catch (e) {
      this.is(false, what, String(e.message).split("\n")[0]);
    }
    const own = requests.filter((u) => !u.startsWith("data:") && !u.startsWith("blob:") && !u.startsWith(at) && !u.startsWith(at.replace("index.html", "pictures/")));
    this.is(own.length === 0 && faults.length === 0, `${what}: no request elsewhere, no fault`, [...own, ...faults]);
    await context.close();
  }
}

/** The data in a page, as the tests expect it. */
export function dataOf(folder) {
  const html = readFileSync(join(folder, "index.html"), "utf8");
  const block = (id) => JSON.parse(new RegExp(`<script type="application/json" id="${id}">([^]*?)</script>`).exec(html)[1]);
  return { drawings: block("drawings"), ...block("data") };
}

export const first = (text) => (Array.isArray(text) ? text[0] : text);
