// What stays on the device. Private windows and pages opened from disk may have no storage.

const STORE = "shadecard-";

/** @param {string} key @returns {string} */
function recall(key) {
  try {
    return localStorage.getItem(STORE + key) ?? "";
  } catch {
    return "";
  }
}

/** Whether it could be kept. @param {string} key @param {string} value */
function keep(key, value) {
  try {
    if (value) localStorage.setItem(STORE + key, value);
    else localStorage.removeItem(STORE + key);
    return true;
  } catch {
    return false;
  }
}

/** @type {Line[]} */
let order = [];

/** @param {PageData} data */
function recallOrder(data) {
  order = readOrder(data, recall(`order-${data.id}`));
}

/** Whether the list could be kept. @param {Line[]} lines */
function keepOrder(lines) {
  order = lines;
  return keep(`order-${page.id}`, writeOrder(lines));
}

/** @param {string} colour @param {string} part */
function countOf(colour, part) {
  return order.find((l) => l.colour === colour && l.part === part)?.count ?? 0;
}
