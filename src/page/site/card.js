// The card of one colour.

/** @param {number} index */
function listingTable(index) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  const cell = (/** @type {string} */ text, /** @type {string} */ kind, /** @type {string} */ title) =>
    make("td", { class: kind }, text ? make("span", {}, text) : "–",
      text ? button(say("page_copy"), () => copy(text, text), {
        class: "copy", "aria-label": say("page_copy_what", { what: text, listing: title }),
      }) : null);
  const rows = page.listings.map((listing, i) => {
    const title = pick(listing.title);
    return make("tr", {}, make("th", { scope: "row" }, title),
      cell(pick(colour.names[i]), i === page.order_from ? "name" : "name other", title),
      cell(colour.numbers[i] ?? "", "no", title));
  });
  return make("table", { class: "lists" },
    make("caption", { class: "away" }, say("page_lists")),
    make("thead", { class: "away" }, make("tr", {},
      ...["page_listing", "page_name", "page_number"].map((key) => make("th", { scope: "col" }, say(key))))),
    make("tbody", {}, ...rows));
}

/** @param {Colour} colour */
function factList(colour) {
  const family = page.families[colour.family];
  /** @type {[string, string][]} */
  const facts = [
    [say("page_family"), [pick(family?.title), pick(family?.note)].filter((t) => t).join(", ")],
    [say("page_finish"), pick(page.finishes[family?.finish ?? -1]?.title)],
    [say("page_years"), [sayYears(colour), colour.new ? say("page_new_row") : ""].filter((t) => t).join(" · ")],
    [say("page_also"), (colour.also ?? []).map(pick).join(", ")],
    [say("page_note"), pick(colour.note)],
  ];
  const list = make("dl", {});
  for (const [term, text] of facts) if (text) list.append(make("div", {}, make("dt", {}, term), make("dd", {}, text)));
  const { value } = colour;
  const screen = make("dd", {}, value ? make("span", { class: "hex" }, value) : say("page_no_value"));
  if (value) screen.append(" ", button(say("page_copy"), () => copy(value, value), {
    class: "copy", "aria-label": say("page_copy_what", { what: value, listing: say("page_value") }),
  }));
  list.append(make("div", {}, make("dt", {}, say("page_value")), screen));
  return list;
}

/** The bar on top of a dialog, with what closes it. @param {Host} host @param {(Node | null)[]} content */
function dialogBar(host, ...content) {
  return make("div", { class: "dialog-bar" }, ...content,
    button("×", () => host.go({ colour: "", view: "" }), { class: "close", "aria-label": say("page_close") }));
}

/** @param {Host} host @param {number} index @param {number[]} around the colours found, to step through */
function fillCard(host, index, around) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  const at = around.indexOf(index);
  const step = (/** @type {number} */ by, /** @type {string} */ key, /** @type {string} */ sign) => {
    const next = at < 0 ? undefined : page.colours[around[at + by] ?? -1];
    const b = button(sign, () => {
      if (next) host.go({ colour: next.key });
    }, { class: "step", "aria-label": say(key), "data-step": by });
    b.disabled = !next;
    return b;
  };
  const beside = button("", () => toggleBeside(host, colour.key), { class: "beside-one" });
  beside.dataset.beside = colour.key;
  const flat = make("div", { class: `flat ${valueClass(index)}` });
  if (!colour.value) flat.append(make("span", {}, say("page_no_value")));
  const head = make("div", { class: "who" },
    make("h2", { id: "card-title", tabindex: -1 }, nameOf(colour)),
    listingTable(index), factList(colour), make("p", { class: "do" }, beside));
  byId("card").replaceChildren(
    dialogBar(host, step(-1, "page_before", "‹"), step(1, "page_after", "›")),
    make("div", { class: "sheet" }, flat, head),
    make("section", {}, make("h3", {}, say("page_made_in")), partList(host, index)),
    ...[alikeSection(host, colour)].filter((x) => x !== null),
    make("p", { class: "true" }, say("page_true")),
    make("p", { class: "live", role: "status" }));
  showBesideButtons(host.state);
}

/** Shows on every button whether its colour is laid beside others. @param {State} state */
function showBesideButtons(state) {
  for (const b of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-beside]"))) {
    const on = state.beside.includes(b.dataset.beside ?? "");
    b.setAttribute("aria-pressed", String(on));
    b.textContent = say(on ? "page_beside_take" : "page_beside_put");
  }
}
