// axe-core in every state, light and dark; valid HTML and CSS; the tab order; the policy of the page.
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

/** axe-core runs in its own world, beside the page's policy. */
async function violations(page) {
  await page.waitForTimeout(450);
  const client = await page.context().newCDPSession(page);
  const { frameTree } = await client.send("Page.getFrameTree");
  const { executionContextId } = await client.send("Page.createIsolatedWorld", { frameId: frameTree.frame.id });
  const expression = `${axe};axe.run(document,{runOnly:["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa","best-practice"]}).then(r=>JSON.stringify(r.violations.map(v=>v.id+": "+v.nodes.slice(0,3).map(n=>n.target+" "+(n.any[0]?.message??"")).join("; "))))`;
  const { result, exceptionDetails } = await client.send("Runtime.evaluate", { expression, contextId: executionContextId, awaitPromise: true, returnByValue: true });
  return exceptionDetails ? [exceptionDetails.text] : JSON.parse(result.value);
}

export default async function run(t, data) {
  const alike = data.colours.find((c) => c.alike?.length && c.parts.length > 1) ?? data.colours[0];
  const two = data.colours.slice(0, 4).map((c) => c.key).join(",");
  const unknown = data.colours.find((c) => !c.value);
  const line = `#order=${alike.parts.slice(0, 2).map((p) => `${alike.key}:${data.parts[p].key}:5`).join(",")}`;
  const states = [
    ["list", ""], ["find", "#find=be"], ["nothing", "#find=qqqqxxzzqq"], ["nearest", "#near=c92a2e"], ["card", `#colour=${alike.key}`],
    ["side by side, empty", "#view=beside"], ["side by side", `#beside=${two}&view=beside&on=grey`],
    ["order, empty", "#view=order"], ["order offered", line], ["order", line],
    ...(unknown ? [["card without a value", `#colour=${unknown.key}`]] : []),
  ];
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [390, 1280]) {
      for (const [what, hash] of states) {
        await t.page(`axe ${what}`, { hash, colorScheme, width, bypassCSP: false }, async (page) => {
          if (what === "order") await page.locator("#notice button").first().click();
          if (width === 390 && what === "find") await page.locator("#more").click();
          const found = await violations(page);
          t.is(found.length === 0, `axe-core: ${what}, ${colorScheme}, ${width} px`, found);
        });
      }
    }
  }
  await t.page("axe without scripts", {}, async (page) => {
    // Scripts are refused by the policy, since axe-core itself needs them.
    const html = readFileSync(join(t.folder, "index.html"), "utf8").replace(/script-src [^;]*;/, "script-src 'none';").replace(/<script>[\s\S]*?<\/script>/g, "");
    await page.setContent(html);
    const found = await violations(page);
    t.is(found.length === 0, "axe-core: without scripts", found);
  });

  await t.page("tab order", {}, async (page) => {
    const seen = [];
    for (let i = 0; i < 18; i++) {
      await page.keyboard.press("Tab");
      seen.push(await page.evaluate(() => {
        const e = document.activeElement;
        const s = getComputedStyle(e);
        const ring = s.outlineStyle !== "none" || s.boxShadow !== "none" || getComputedStyle(e, "::before").outlineStyle !== "none";
        return [e.id || e.className, ring ? 1 : 0];
      }));
    }
    const ids = seen.map((s) => s[0]);
    const wanted = ["skip", "spelling", "theme", "find", "family", "finish", "part", "year", "pick", "near", "to-beside", "to-order", "nm", "lay"];
    t.is(wanted.every((w, i) => ids.indexOf(w) >= 0 && (i === 0 || ids.indexOf(w) > ids.indexOf(wanted[i - 1]))), "the keys reach everything in order", ids);
    t.is(seen.every((s) => s[1] === 1), "the focus is always seen", seen);
  });

  await t.page("focus stays in a dialog", { hash: `#colour=${alike.key}` }, async (page) => {
    for (let i = 0; i < 80; i++) await page.keyboard.press("Tab");
    t.is(await page.evaluate(() => document.activeElement === document.body || document.activeElement.closest("#card") !== null), "the focus stays in the card");
  });

  await t.page("policy", {}, async (page) => {
    const csp = await page.locator("meta[http-equiv]").getAttribute("content");
    t.is(csp.startsWith("default-src 'none'") && !csp.includes("unsafe"), "the policy is strict", csp);
    t.is((await page.locator("[style]").evaluateAll((l) => l.filter((e) => !e.matches(".picked, .pair > span")).length)) === 0, "no style attributes");
    const cookies = await page.context().cookies();
    t.is(cookies.length === 0, "no cookies");
  });

  const jar = join(dirname(require.resolve("vnu-jar")), "build", "dist", "vnu.jar");
  const check = (path, what) => {
    const { stdout, stderr, status } = spawnSync("java", ["-Xss4m", "-jar", jar, "--stdout", "--format", "text", path], { encoding: "utf8", maxBuffer: 1e8 });
    t.is(status === 0, what, (stdout + stderr).split("\n").map((l) => l.replace(/^.*index[^:]*:/, "")).slice(0, 8));
  };
  check(join(t.folder, "index.html"), "valid HTML and CSS as written");
  await t.page("html", { hash: `#colour=${alike.key}` }, async (page) => {
    await page.waitForTimeout(800);
    const path = join(t.scratch, "index-filled.html");
    // Colours set by the script are style attributes when written out.
    const html = (await page.content()).replace(/ style="background: [^"]*"/g, "");
    writeFileSync(path, html.startsWith("<!DOCTYPE") ? html : `<!DOCTYPE html>${html}`);
    check(path, "valid HTML with the card open");
  });
}
