// Colours as typed, CIELAB under D50, and CIEDE2000.

/** `rrggbb` of a colour as people type it, or "". @param {string} text */
function readColour(text) {
  const t = text.trim().toLowerCase();
  const hex = /^#?([0-9a-f]{6}|[0-9a-f]{3})$/.exec(t)?.[1];
  if (hex) return hex.length === 6 ? hex : [...hex].map((c) => c + c).join("");
  const rgb = /^(?:rgb)?\s*\(?\s*(\d{1,3})[\s,;]+(\d{1,3})[\s,;]+(\d{1,3})\s*\)?$/.exec(t);
  if (!rgb) return "";
  const parts = rgb.slice(1).map(Number);
  if (parts.some((v) => v > 255)) return "";
  return parts.map((v) => v.toString(16).padStart(2, "0")).join("");
}

/** Linear sRGB, 0 to 1. @param {string} hex `rrggbb` or `#rrggbb` @returns {[number, number, number]} */
function linear(hex) {
  const n = parseInt(hex.replace("#", ""), 16);
  const one = (/** @type {number} */ byte) => {
    const v = byte / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  return [one((n >> 16) & 255), one((n >> 8) & 255), one(n & 255)];
}

/** CIELAB of an sRGB colour, adapted from D65 to D50 by Bradford. @param {string} hex @returns {Lab} */
function labOf(hex) {
  const [r, g, b] = linear(hex);
  const x = 0.4360747 * r + 0.3850649 * g + 0.1430804 * b;
  const y = 0.2225045 * r + 0.7168786 * g + 0.0606169 * b;
  const z = 0.0139322 * r + 0.0971045 * g + 0.7141733 * b;
  const f = (/** @type {number} */ t) => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const [fx, fy, fz] = [f(x / 0.96422), f(y), f(z / 0.82521)];
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

/** CIEDE2000 with all weights 1. @param {Lab} one @param {Lab} two */
function difference(one, two) {
  const rad = Math.PI / 180;
  const [l1, a1, b1] = one;
  const [l2, a2, b2] = two;
  const chroma = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const seventh = (/** @type {number} */ c) => Math.sqrt(c ** 7 / (c ** 7 + 25 ** 7));
  const stretch = 1 + 0.5 * (1 - seventh(chroma));
  const [x1, x2] = [a1 * stretch, a2 * stretch];
  const [c1, c2] = [Math.hypot(x1, b1), Math.hypot(x2, b2)];
  const angle = (/** @type {number} */ x, /** @type {number} */ y) =>
    x === 0 && y === 0 ? 0 : (Math.atan2(y, x) / rad + 360) % 360;
  const [h1, h2] = [angle(x1, b1), angle(x2, b2)];
  const grey = c1 * c2 === 0;
  let dh = h2 - h1;
  if (grey) dh = 0;
  else if (dh > 180) dh -= 360;
  else if (dh < -180) dh += 360;
  const dH = 2 * Math.sqrt(c1 * c2) * Math.sin((dh / 2) * rad);
  const l = (l1 + l2) / 2;
  const c = (c1 + c2) / 2;
  let h = (h1 + h2) / 2;
  if (grey) h = h1 + h2;
  else if (Math.abs(h1 - h2) > 180) h += h1 + h2 < 360 ? 180 : -180;
  const cos = (/** @type {number} */ degrees) => Math.cos(degrees * rad);
  const t = 1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6) - 0.2 * cos(4 * h - 63);
  const turn = 60 * Math.exp(-(((h - 275) / 25) ** 2));
  const rt = -Math.sin(turn * rad) * 2 * seventh(c);
  const sl = 1 + (0.015 * (l - 50) ** 2) / Math.sqrt(20 + (l - 50) ** 2);
  const [p, q, s] = [(l2 - l1) / sl, (c2 - c1) / (1 + 0.045 * c), dH / (1 + 0.015 * c * t)];
  return Math.sqrt(p * p + q * q + s * s + rt * q * s);
}
