// What a colour is taken for.

/** Two values edge to edge, as given or as other eyes see them. @param {string} one @param {string} two @param {string} eye */
function edgePair(one, two, eye) {
  const half = (/** @type {string} */ value) => {
    const e = make("span", {});
    e.style.background = eye ? seenBy(value, eye) : value;
    return e;
  };
  return make("span", { class: eye ? "pair small" : "pair", "aria-hidden": "true" }, half(one), half(two));
}

/** @param {Host} host @param {Colour} colour @param {Alike} alike */
function alikeItem(host, colour, alike) {
  const other = page.colours[alike.with];
  if (!other || !colour.value || !other.value) return null;
  const { value } = colour;
  const name = nameOf(other);
  const link = make("a", { href: `#colour=${other.key}`, class: "nm" }, name);
  link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    host.go({ colour: other.key });
  });
  const hard = (alike.eyes ?? []).filter((e) => e in EYES);
  const eyes = Object.keys(EYES).map((eye) =>
    make("li", { class: hard.includes(eye) ? "same" : "" }, edgePair(value, other.value ?? value, eye),
      make("span", {}, say(`page_eyes_${eye}`)),
      hard.includes(eye) ? make("b", {}, say("page_eyes_same")) : null));
  return make("li", { class: "alike" },
    edgePair(value, other.value, ""),
    make("p", { class: "who" }, link, " ", make("span", { class: "no" }, other.numbers[page.order_from] ?? ""), " ",
      make("i", {}, pick(page.families[other.family]?.title))),
    make("p", { class: "how" }, say("page_alike_how", { words: pick(alike.words) }), " ",
      make("span", { class: "far" }, say("page_far", { n: sayNumber(alike.difference, 1) }))),
    make("ul", { class: "eyes" }, ...eyes),
    button(say("page_lay_both"), () => {
      host.go({ beside: [colour.key, other.key], view: "beside", colour: "" });
    }, { class: "quiet", "aria-label": `${say("page_lay_both")}: ${nameOf(colour)}, ${name}` }));
}

/** @param {Host} host @param {Colour} colour */
function alikeSection(host, colour) {
  const items = (colour.alike ?? []).map((a) => alikeItem(host, colour, a)).filter((x) => x !== null);
  if (items.length === 0) return null;
  return make("section", {},
    make("h3", {}, say("page_alike")),
    make("p", { class: "aside" }, say("page_alike_note", { name: nameOf(colour) })),
    make("ul", { class: "alikes" }, ...items));
}
