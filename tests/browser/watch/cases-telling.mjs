// Where things come from, messages, figures.
import { check, clearPoint, onScreen, openPage, placesOf, same, scaleOf, settled, violations } from "./tools.mjs";

const stateOf = (/** @type {any} */ page) => page.evaluate(async () => (await fetch("./state")).json());
const card = (/** @type {any} */ page) => page.locator(".place");

async function inView(page, selector) {
  const [mark, desk] = [await page.locator(selector).first().boundingBox(), await page.locator(".scroller").first().boundingBox()];
  return mark !== null && mark.x + mark.width > desk.x + 20 && mark.x < desk.x + desk.width - 20 && mark.y + mark.height > desk.y + 20 && mark.y < desk.y + desk.height - 20;
}

/** Brings the errors of an unknown colour. */
async function spoil(page, files, word = "nosuch") {
  files.change("sheet.ron", '"hull-red"', `"${word}"`);
  await page.waitForSelector(".entry.error");
}

export const telling = [
  { name: "a click says where a thing comes from", run: async ({ page, url }) => {
    await openPage(page, url);
    const places = await placesOf(page);
    const { origins } = await stateOf(page);
    const kinds = [...new Set(places.map((one) => one[4].split(":")[0]))];
    check(kinds.includes("colour"), "there is no colour on the sheet");
    for (const kind of kinds) {
      const key = places.filter((one) => one[4].startsWith(`${kind}:`)).map((one) => one[4]).find((one) => { try { return clearPoint(places, one) && origins[one]; } catch { return false; } });
      if (!key) continue;
      const point = clearPoint(places, key);
      const at = await onScreen(page, point.x, point.y);
      await page.mouse.click(at.x, at.y);
      const origin = origins[key];
      same(await card(page).locator("h2").textContent(), origin.what, kind);
      same(await card(page).locator(".spot").textContent(), `${origin.file}:${origin.line}:${origin.column}`, kind);
      check((await card(page).locator(".line").textContent()).length > 3, `${kind} has no text`);
      check((await page.locator(".mark.chosen").count()) > 0, `${kind} is not marked`);
    }
    const inBlock = clearPoint(places, "colour:wreck-buoy");
    const spot = await onScreen(page, inBlock.x, inBlock.y);
    await page.mouse.click(spot.x, spot.y);
    await page.locator(".below button").first().click();
    check((await page.locator(".mark.chosen").count()) > 0, "what lies below cannot be chosen");
    await page.keyboard.press("Escape");
    same(await page.locator(".mark").count(), 0, "marks after Escape");
    return kinds.join(", ");
  } },
  { name: "the place can be copied", options: { permissions: ["clipboard-read", "clipboard-write"] }, run: async ({ page, url }) => {
    await openPage(page, url);
    const point = clearPoint(await placesOf(page), "colour:wreck-buoy");
    const at = await onScreen(page, point.x, point.y);
    await page.mouse.click(at.x, at.y);
    await card(page).locator(".copy").click();
    await page.waitForFunction(() => document.querySelector(".copy").textContent === "Copied");
    same(await page.evaluate(() => navigator.clipboard.readText()), await card(page).locator(".spot").textContent(), "copied");
  } },
  { name: "an error is shown with its line, the last good sheet stays, greyed", run: async ({ page, url, files, blank }) => {
    await openPage(page, url);
    const { pixels } = await import("./tools.mjs");
    const shot = async () => (await pixels(blank, await page.locator(".picture").first().screenshot())).colourful;
    const before = await shot();
    const was = await scaleOf(page);
    await spoil(page, files);
    const entry = page.locator(".entry.error").first();
    check((await entry.textContent()).includes("nosuch"), "the message does not name it");
    check(/sheet\.ron:\d+:\d+/.test(await entry.locator(".spot").textContent()), "there is no place");
    check((await entry.locator(".line mark").textContent()).includes("nosuch"), "the word is not marked");
    check((await page.title()).startsWith("(1 error)"), `the window is called ${await page.title()}`);
    check((await page.textContent("#voice")).includes("1 error"), "nothing is said aloud");
    await page.waitForTimeout(400);
    check(before > 0.05 && (await shot()) < 0.01, `the sheet is not greyed: ${before}, then ${await shot()}`);
    same(await scaleOf(page), was, "zoom");
    same(await violations(page), [], "axe");
    files.restore();
    await page.waitForFunction(() => !document.querySelector(".entry.error"));
    await settled(page);
    await page.waitForFunction(() => document.querySelector("#status-text").textContent === "Up to date");
    check((await shot()) > 0.05, "the sheet is still grey");
  } },
  { name: "a message shows its place on the sheet", run: async ({ page, url, files }) => {
    await openPage(page, url);
    files.change("range.ron", '"#c92a2e"', '"#c92a2"');
    await page.waitForSelector(".entry.error.active");
    await page.locator(".scroller").focus();
    for (let i = 0; i < 9; i += 1) await page.keyboard.press("+");
    await page.waitForTimeout(300);
    await page.locator(".entry.error.active .entry-name").first().click();
    await page.waitForTimeout(400);
    check((await page.locator(".mark.chosen").count()) > 0, "nothing is marked");
    check(await inView(page, ".mark.chosen"), "the mark is out of view");
  } },
  { name: "what is on another page is shown there", run: async ({ page, url }) => {
    await openPage(page, url);
    await page.selectOption("#choose-edition", "pages");
    await settled(page);
    await page.locator("#panel-messages .entry-name", { hasText: "Black Lip" }).first().click();
    await page.waitForFunction(() => document.querySelector("#choose-page").value !== "1" && document.querySelector(".mark.chosen"));
    check(await inView(page, ".mark.chosen"), "the mark is out of view");
  } },
  { name: "text from files is never markup", run: async ({ page, url, files }) => {
    await openPage(page, url);
    await spoil(page, files, "<img src=x onerror=alert(1)><b>bold</b>");
    same(await page.locator("#panel img, #panel b").count(), 0, "elements made of text");
    check((await page.locator(".entry.error").first().textContent()).includes("<b>bold</b>"), "the text is not shown as it is");
  } },
  { name: "figures, look-alikes and papers are told", run: async ({ page, url }) => {
    await openPage(page, url);
    const state = await stateOf(page);
    await page.click("#tab-figures");
    same(await page.locator("#panel-figures dt").allTextContents(), state.editions[0].figures.map((one) => one.label), "figures");
    await page.selectOption("#choose-edition", { index: 1 });
    await page.waitForFunction((name) => document.querySelector("#panel-figures h2").textContent === name, state.editions[1].name);
    await page.selectOption("#choose-edition", { index: 0 });
    await settled(page);
    await page.click("#tab-looks");
    same(await page.locator("#panel-looks .entry").count(), state.look_alikes.length, "look-alikes");
    const first = state.look_alikes[0];
    await page.locator("#panel-looks .entry-name").first().click();
    check((await card(page).textContent()).includes(state.origins[first.first].what), "the first of the pair is not told");
    check((await page.locator(".mark.chosen").count()) > 0 && (await page.locator(".mark.second").count()) > 0, "the pair is not marked");
    await page.click("#tab-paper");
    await page.selectOption("#choose-paper", "matte");
    await page.waitForSelector("#panel-paper dl");
    check((await page.locator("#panel-paper .entry").count()) > 0, "no pairs on paper");
    await page.click("text=Show beside the sheet");
    await settled(page);
    same(await page.locator(".caption:visible").last().textContent(), "on matte", "caption");
  } },
  { name: "what the last change changed", run: async ({ page, url, files }) => {
    await openPage(page, url);
    files.change("range.ron", '"#c92a2e"', '"#2ac92e"');
    await page.waitForFunction(() => document.querySelector("#tab-changes .count").textContent === "1");
    await page.click("#tab-changes");
    check((await page.locator("#panel-changes .entry").first().textContent()).includes("Wreck Buoy"), "the colour is not named");
    await settled(page);
    await page.check("#mark-changes");
    check((await page.locator(".mark.changed").count()) > 0, "it is not marked");
    check(await inView(page, ".mark.changed"), "the mark is elsewhere");
  } },
  { name: "with the keyboard alone", run: async ({ page, url }) => {
    await openPage(page, url);
    await page.locator("#tab-messages").focus();
    await page.keyboard.press("ArrowRight");
    same(await page.evaluate(() => document.activeElement.id), "tab-contents", "focus");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Tab");
    same(await page.evaluate(() => document.activeElement.id), "contents-filter", "focus");
    await page.keyboard.type("wreck buoy");
    await page.waitForFunction(() => document.querySelectorAll("#panel-contents .thing").length > 0 && document.querySelectorAll("#panel-contents .thing").length < 40);
    for (let i = 0; i < 4 && !(await page.evaluate(() => document.activeElement.classList.contains("thing"))); i += 1) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    same(await card(page).locator("h2").textContent(), "colour 'Wreck Buoy'", "card");
    check((await page.locator(".mark.chosen").count()) > 0, "nothing is marked");
    await page.locator(".scroller").focus();
    await page.keyboard.press("Escape");
    await page.keyboard.press("Enter");
    check(await card(page).isVisible(), "Enter does not tell what is in the middle");
  } },
];
