// Two to six colours edge to edge.

/** Puts a colour beside the others or takes it away. @param {Host} host @param {string} key */
function toggleBeside(host, key) {
  const { beside } = host.state;
  const colour = page.colours.find((c) => c.key === key);
  if (!colour) return;
  const name = nameOf(colour);
  if (beside.includes(key)) {
    host.go({ beside: beside.filter((k) => k !== key) });
    announce(say("page_beside_gone", { name }));
  } else if (beside.length >= MOST_BESIDE) {
    announce(say("page_beside_full", { n: MOST_BESIDE }));
  } else {
    host.go({ beside: [...beside, key] });
    announce(say("page_beside_now", { name, n: beside.length + 1 }));
  }
}

/** @param {Host} host @param {number} at @param {number} by */
function moveBeside(host, at, by) {
  const beside = [...host.state.beside];
  const [key] = beside.splice(at, 1);
  if (key) beside.splice(at + by, 0, key);
  host.go({ beside });
  const moved = /** @type {HTMLElement | null} */ (byId("beside").querySelector(`[data-key="${key}"] .nm`));
  moved?.focus();
}

/** @param {Host} host @param {string} key @param {number} at */
function besideColumn(host, key, at) {
  const index = page.colours.findIndex((c) => c.key === key);
  const colour = /** @type {Colour} */ (page.colours[index]);
  const before = page.colours.find((c) => c.key === host.state.beside[at - 1]);
  const name = nameOf(colour);
  const far = before?.lab && colour.lab ? difference(before.lab, colour.lab) : NaN;
  const alike = before?.alike?.find((a) => a.with === index);
  const link = make("a", { href: `#colour=${key}`, class: "nm" }, name);
  link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    host.go({ colour: key, view: "" });
  });
  const act = (/** @type {string} */ sign, /** @type {string} */ word, /** @type {() => void} */ run, /** @type {boolean} */ off) => {
    const b = button(sign, run, { "aria-label": say(word, { name }) });
    b.disabled = off;
    return b;
  };
  const words = [];
  if (before && !Number.isNaN(far)) words.push(say("page_far_from", { n: sayNumber(far, 1), name: nameOf(before) }));
  if (before && alike) words.push(say("page_alike_how", { words: pick(alike.words) }));
  return make("li", { "data-key": key },
    make("p", {}, link, " ", make("span", { class: "no" }, colour.numbers[page.order_from] ?? "")),
    make("p", { class: "how" }, words.join(" · ")),
    make("p", { class: "moves" },
      act("‹", "page_move_before", () => moveBeside(host, at, -1), at === 0),
      act("›", "page_move_after", () => moveBeside(host, at, 1), at === host.state.beside.length - 1),
      act("×", "page_take_away", () => toggleBeside(host, key), false)));
}

/** @param {Host} host */
function fillBeside(host) {
  const { beside, on } = host.state;
  const flats = beside.map((key) => {
    const index = page.colours.findIndex((c) => c.key === key);
    return make("span", { class: valueClass(index) });
  });
  const choice = SURROUNDS.map((s) => {
    const radio = make("input", { type: "radio", name: "on", value: s });
    radio.checked = s === on;
    radio.addEventListener("change", () => host.go({ on: s }));
    return make("label", {}, radio, make("span", {}, say(`page_on_${s}`)));
  });
  const enough = beside.length >= 2;
  byId("beside").replaceChildren(
    dialogBar(host,
      make("h2", { id: "beside-title", tabindex: -1 }, say("page_beside")),
      make("fieldset", { class: "on" }, make("legend", {}, say("page_on")), ...choice)),
    make("div", { class: `ground ${on}` }, make("div", { class: "edges", "aria-hidden": "true" }, ...flats)),
    enough ? "" : make("p", { class: "aside" }, say("page_beside_few", { n: MOST_BESIDE })),
    make("ol", { class: "besides" }, ...beside.map((key, at) => besideColumn(host, key, at))),
    make("p", { class: "do" },
      button(say("page_share"), () => copy(addressOf({ ...emptyState(), beside, on: host.state.on, view: "beside", spelling: host.state.spelling }), say("page_the_address"))),
      button(say("page_beside_none"), () => host.go({ beside: [], view: "" }), { class: "quiet" })),
    make("p", { class: "true" }, say("page_true")),
    make("p", { class: "live", role: "status" }));
}

/** Changes the surround alone, so that the focus stays. @param {State} state */
function showSurround(state) {
  const ground = byId("beside").querySelector(".ground");
  if (ground) ground.className = `ground ${state.on}`;
  for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (byId("beside").querySelectorAll("input[name=on]"))) {
    radio.checked = radio.value === state.on;
  }
}

/** The address of this page in another state. @param {State} state */
function addressOf(state) {
  return `${location.href.split("#")[0]}#${writeAddress(state)}`;
}
