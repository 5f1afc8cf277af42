// Small helpers for the document.

/** @param {string} id @returns {HTMLElement} */
function byId(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}

/**
 * A new element. Strings become text, never markup.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Record<string, string | number | boolean | null>} [attributes]
 * @param {...(Node | string | null)} content
 * @returns {HTMLElementTagNameMap[T]}
 */
function make(tag, attributes = {}, ...content) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...content.filter((c) => c !== null));
  return element;
}

/** @param {string} text @param {() => void} act @param {Record<string, string | number | boolean | null>} [attributes] */
function button(text, act, attributes = {}) {
  const b = make("button", { type: "button", ...attributes }, text);
  b.addEventListener("click", act);
  return b;
}

/** The class that colours an element with a colour's value. @param {number} index */
function valueClass(index) {
  return page.colours[index]?.value ? `c${index}` : "none";
}

let hush = 0;

/** Says something to everybody: it is shown and read out, in the open dialog if there is one. @param {string} text */
function announce(text) {
  const open = document.querySelector("dialog[open] .live");
  const place = open ?? byId("live");
  place.textContent = text;
  window.clearTimeout(hush);
  hush = window.setTimeout(() => {
    place.textContent = "";
  }, 4000);
}

/** @param {string} text @param {string} what */
async function copy(text, what) {
  announce(say((await copied(text)) ? "page_copied" : "page_not_copied", { what }));
}

/** @param {string} text @returns {Promise<boolean>} */
async function copied(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return copiedByHand(text);
  }
}

/** The old way, where the new one is not allowed. @param {string} text */
function copiedByHand(text) {
  const back = document.activeElement;
  const area = make("textarea", { class: "away", "aria-hidden": "true", tabindex: -1 });
  area.value = text;
  (document.querySelector("dialog[open]") ?? document.body).append(area);
  area.select();
  let done = false;
  try {
    done = document.execCommand("copy");
  } catch {
    done = false;
  }
  area.remove();
  if (back instanceof HTMLElement) back.focus();
  return done;
}

/** @param {string} text @param {string} file @param {string} type */
function save(text, file, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = make("a", { href: address, download: file });
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(address), 10000);
  announce(say("page_saved", { file }));
}

/** An address to follow, if it is one of the web. @param {string | null | undefined} address */
function webAddress(address) {
  try {
    const url = new URL(address ?? "");
    return url.protocol === "https:" || url.protocol === "http:" ? url.href : "";
  } catch {
    return "";
  }
}

/** A picture beside the page, never one elsewhere. @param {string} file */
function pictureAddress(file) {
  return /^[\w][\w./ -]*$/.test(file) && !file.includes("..") ? encodeURI(file) : "";
}
