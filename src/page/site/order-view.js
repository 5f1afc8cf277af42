// The list to order.

/** The listing one orders from, as chosen here. */
let orderListing = 0;

/** @param {Host} host @param {Line} line */
function orderRow(host, line) {
  const said = lineIn(page, line, orderListing);
  if (!said) return null;
  const index = page.colours.indexOf(said.colour);
  const label = say("page_count_of", { part: `${said.partNumber} ${said.partTitle}, ${said.name}` });
  const missing = () => make("i", { class: "missing" }, say("page_no_number"));
  return make("tr", {},
    make("td", {}, make("span", { class: `chip ${valueClass(index)}` })),
    make("td", { class: "no" }, said.number || missing()),
    make("th", { scope: "row" }, said.name),
    make("td", { class: "no" }, said.partNumber || missing()),
    make("td", { class: "what" }, said.partTitle, said.size ? make("i", {}, ` ${said.size}`) : null),
    make("td", {}, counter(host, line.colour, line.part, label)),
    make("td", {}, button("×", () => {
      setCount(host, line.colour, line.part, 0);
      byId("order-title").focus();
    }, { class: "quiet", "aria-label": say("page_take_line", { what: `${said.partTitle}, ${said.name}` }) })));
}

/** @param {Host} host */
function orderTable(host) {
  const head = ["page_value", "page_csv_number", "page_csv_name", "page_csv_part_number", "page_csv_part", "page_csv_count"];
  const rows = order.map((line) => orderRow(host, line)).filter((r) => r !== null);
  return make("div", { class: "scroll", tabindex: 0, role: "region", "aria-labelledby": "order-title" },
    make("table", { class: "lines" },
      make("thead", {}, make("tr", {}, ...head.map((key) => make("th", { scope: "col" }, say(key))), make("td", {}))),
      make("tbody", {}, ...rows)));
}

/** @param {Host} host */
function fillOrder(host) {
  const select = make("select", { id: "order-listing" },
    ...page.listings.map((l, i) => make("option", { value: i }, pick(l.title))));
  select.value = String(orderListing);
  select.addEventListener("change", () => {
    orderListing = Number(select.value);
    keep("listing", page.listings[orderListing]?.key ?? "");
    fillOrder(host);
    byId("order-listing").focus();
  });
  const total = order.reduce((sum, l) => sum + l.count, 0);
  const csv = () => orderCsv(page, order, orderListing);
  const text = () => orderText(page, order, orderListing);
  const file = (/** @type {string} */ end) => `${page.id.replace(/[^\w-]+/g, "-")}-${say("page_order_file")}.${end}`;
  const acts = make("p", { class: "do" },
    button(say("page_copy_text"), () => copy(text(), say("page_the_list"))),
    button(say("page_copy_csv"), () => copy(csv(), say("page_the_list"))),
    button(say("page_save_text"), () => save(text(), file("txt"), "text/plain;charset=utf-8")),
    // Some spreadsheets know UTF-8 by its mark and nothing else.
    button(say("page_save_csv"), () => save(`\ufeff${csv()}`, file("csv"), "text/csv;charset=utf-8")),
    button(say("page_share"), () => copy(addressOf({ ...emptyState(), order, spelling: host.state.spelling }), say("page_the_address"))),
    button(say("page_order_none"), () => {
      keepOrder([]);
      host.counted();
      byId("order-title").focus();
    }, { class: "quiet" }));
  const body = order.length === 0
    ? [make("p", { class: "aside" }, say("page_order_empty"))]
    : [orderTable(host), make("p", { class: "total" }, sayCount("page_lines", order.length), ", ", sayCount("page_pieces", total)), acts];
  byId("order").replaceChildren(
    dialogBar(host, make("h2", { id: "order-title", tabindex: -1 }, say("page_order")),
      make("label", {}, say("page_order_from"), " ", select)),
    ...body,
    make("p", { class: "aside" }, say("page_order_stays")),
    make("p", { class: "live", role: "status" }));
}

/** Offers a list that came with the address. @param {Host} host @param {Line[]} lines */
function offerOrder(host, lines) {
  const place = byId("notice");
  const same = writeOrder(lines) === writeOrder(order);
  place.hidden = lines.length === 0 || same;
  if (place.hidden) return;
  const take = (/** @type {Line[]} */ all) => () => {
    keepOrder(all);
    place.hidden = true;
    host.counted();
    host.go({ view: "order" }, true);
  };
  const later = () => {
    place.hidden = true;
    byId("find").focus();
  };
  place.replaceChildren(
    make("p", { role: "status" }, say("page_order_came"), " ", sayCount("page_lines", lines.length)),
    button(say(order.length > 0 ? "page_order_replace" : "page_order_take"), take(lines)),
    ...(order.length > 0 ? [button(say("page_order_add"), take(joined(order, lines)))] : []),
    button(say("page_order_leave"), later, { class: "quiet" }));
}
