// Spelling, light and dark, and the fixed words of the page.

const THEMES = ["", "light", "dark"];

/** Puts every fixed word in the spelling shown. */
function showWords() {
  document.documentElement.lang = page.spellings[spelling]?.tag ?? "";
  document.title = pick(page.title);
  for (const e of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-w]"))) {
    e.textContent = say(e.dataset.w ?? "");
  }
  for (const e of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-wl]"))) {
    e.setAttribute("aria-label", say(e.dataset.wl ?? ""));
  }
  for (const e of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-wp]"))) {
    e.setAttribute("placeholder", say(e.dataset.wp ?? ""));
  }
  const texts = { title: page.title, subtitle: page.subtitle, maker: page.maker, release: page.release };
  for (const [key, text] of Object.entries(texts)) {
    const place = document.querySelector(`[data-text="${key}"]`);
    if (place) place.textContent = pick(text);
  }
  showFoot();
}

/** Pictures to download, shop and licence. */
function showFoot() {
  const pictures = (page.preview ?? []).filter((p) => pictureAddress(p.file)).map((p) =>
    make("li", {}, make("a", { href: pictureAddress(p.file), download: true }, pick(p.title)), " ",
      make("i", {}, say("page_pixels", { w: p.width, h: p.height }))));
  const shop = webAddress(page.shop);
  /** @type {Node[]} */
  const parts = [];
  if (pictures.length > 0) parts.push(make("ul", {}, ...pictures));
  if (shop) parts.push(make("p", {}, make("a", { href: shop, rel: "noreferrer" }, say("page_shop"))));
  if (pick(page.licence)) parts.push(make("p", {}, pick(page.licence)));
  byId("foot").replaceChildren(...parts);
}

/** @param {string} theme */
function setTheme(theme) {
  if (theme) document.documentElement.dataset.theme = theme;
  else delete document.documentElement.dataset.theme;
}

function fillLook() {
  const names = THEMES.map((t) => /** @type {[string, string]} */ ([t, say(`page_theme_${t || "device"}`)]));
  const kept = recall("theme");
  fillSelect("theme", names, THEMES.includes(kept) ? kept : "");
  const tags = page.spellings.map((s) => /** @type {[string, string]} */ ([s.tag, s.name]));
  fillSelect("spelling", tags, page.spellings[spelling]?.tag ?? "");
  /** @type {HTMLElement} */ (byId("spelling").parentElement).hidden = tags.length < 2;
}

/** @param {Host} host */
function watchLook(host) {
  byId("theme").addEventListener("change", () => {
    const { value } = /** @type {HTMLSelectElement} */ (byId("theme"));
    setTheme(value);
    keep("theme", value);
  });
  byId("spelling").addEventListener("change", () => {
    const { value } = /** @type {HTMLSelectElement} */ (byId("spelling"));
    keep("spelling", value);
    host.go({ spelling: value });
  });
}

/** Fonts of the page come after its first view. */
function loadFonts() {
  /** @type {{ family: string, style: string, weight: string, data: string }[]} */
  const faces = JSON.parse(byId("fonts").textContent || "[]");
  for (const { family, style, weight, data } of faces) {
    const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
    const face = new FontFace(family, bytes, { style, weight });
    document.fonts.add(face);
    face.load().catch(() => document.fonts.delete(face));
  }
}
