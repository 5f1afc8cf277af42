// Two to six colours edge to edge.

export default async function run(t, data) {
  const words = data.spellings[0].words;
  await t.page("side by side", { permissions: ["clipboard-read", "clipboard-write"] }, async (page) => {
    const lay = page.locator("#results .lay");
    for (let i = 0; i < 6; i++) await lay.nth(i).click();
    t.is((await page.locator("#n-beside").textContent()) === "6", "six colours are marked");
    await lay.nth(6).click();
    t.is((await page.locator("#n-beside").textContent()) === "6" && (await page.locator("#live").textContent()) === words.page_beside_full.replace("{n}", "6"), "a seventh is refused in words");
    await page.locator("#to-beside").click();
    const flats = page.locator("#beside .edges > span");
    t.is((await flats.count()) === 6, "six are laid");
    const boxes = [];
    for (let i = 0; i < 6; i++) boxes.push(await flats.nth(i).boundingBox());
    t.is(boxes.every((b, i) => i === 0 || Math.abs(b.x - (boxes[i - 1].x + boxes[i - 1].width)) < 0.02), "edge to edge, without a gap", boxes.map((b) => b.x));
    for (const [on, css] of [["grey", "rgb(119, 119, 119)"], ["black", "rgb(0, 0, 0)"], ["white", "rgb(255, 255, 255)"]]) {
      await page.locator(`#beside input[value=${on}]`).check();
      const got = await page.locator("#beside .ground").evaluate((e) => getComputedStyle(e).backgroundColor);
      t.is(got === css, `surround ${on}`, got);
      t.is(await page.locator(`#beside input[value=${on}]`).evaluate((e) => e === document.activeElement), `the focus stays on ${on}`);
    }
    const order = async () => (await page.locator("#beside .besides li").evaluateAll((l) => l.map((e) => e.dataset.key)));
    const before = await order();
    await page.locator("#beside .moves").first().locator("button").nth(1).click();
    const after = await order();
    t.is(after[0] === before[1] && after[1] === before[0], "they can be moved");
    await page.locator("#beside .moves").first().locator("button").nth(2).click();
    t.is((await flats.count()) === 5, "one is taken away");
    await page.locator("#beside .do button").first().click();
    const address = await page.evaluate(() => navigator.clipboard.readText());
    t.is(address.includes("beside=") && address.includes("view=beside"), "its address is copied", address);
    await page.goto("about:blank");
    await page.goto(address);
    t.is((await flats.count()) === 5, "and opens the same");
  });
}
