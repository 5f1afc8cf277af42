// The sources of the page, in the order in which the program joins them.
import { readFileSync } from "node:fs";

const site = new URL("../../../../src/page/site/", import.meta.url);
const list = readFileSync(new URL("../../../../src/page/site.rs", import.meta.url), "utf8").split("const SCRIPT")[1] ?? "";

export const scripts = [...list.matchAll(/include_str!\("site\/([\w-]+\.js)"\)/g)].map((m) => m[1]);

/** The named things of the script files up to `last`, without a document. */
export function load(last, names) {
  const upTo = scripts.slice(0, scripts.indexOf(last) + 1);
  const code = upTo.map((name) => readFileSync(new URL(name, site), "utf8")).join("\n");
  return new Function(`"use strict"; ${code}; return { ${names.join(", ")} };`)();
}
