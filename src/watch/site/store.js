// What the browser remembers. Storage may be refused; then nothing is remembered.

/** @param {"localStorage" | "sessionStorage"} which @param {string} key @returns {unknown} */
function remembered(which, key) {
  try {
    const text = window[which].getItem(`shadecard.watch.${key}`);
    return text === null ? null : JSON.parse(text);
  } catch {
    return null;
  }
}

/** @param {"localStorage" | "sessionStorage"} which @param {string} key @param {unknown} value */
function remember(which, key, value) {
  try {
    window[which].setItem(`shadecard.watch.${key}`, JSON.stringify(value));
  } catch {
    // Refused: the page works without it.
  }
}
