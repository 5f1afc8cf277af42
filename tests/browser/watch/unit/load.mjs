// The parts of the page share one scope; this puts some of them into one and hands out what a test needs.
import { readFileSync } from "node:fs";

/** @param {string[]} files @param {string[]} names */
export function load(files, names) {
  const text = files.map((file) => readFileSync(new URL(`../../../../src/watch/site/${file}.js`, import.meta.url), "utf8")).join("\n");
  return new Function(`"use strict";${text}\nreturn {${names.join(",")}};`)();
}
