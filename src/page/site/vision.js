// How other eyes see a colour.

// Linear sRGB to linear sRGB where one kind of cone is missing. Machado, Oliveira and Fernandes, 'A
// Physiologically-based Model for Simulation of Color Vision Deficiency', IEEE TVCG 15 (6), 2009.
/** @type {Record<string, number[][]>} */
const EYES = {
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

/** `#rrggbb` of the colour that looks to everybody else as this one looks to such an eye. @param {string} hex @param {string} eye */
function seenBy(hex, eye) {
  const matrix = EYES[eye];
  if (!matrix) return hex;
  const rgb = linear(hex);
  const bytes = matrix.map((row) => {
    const v = Math.min(1, Math.max(0, (row[0] ?? 0) * rgb[0] + (row[1] ?? 0) * rgb[1] + (row[2] ?? 0) * rgb[2]));
    const coded = v <= 0.0031308 ? v * 12.92 : 1.055 * v ** (1 / 2.4) - 0.055;
    return Math.round(coded * 255);
  });
  return `#${bytes.map((v) => v.toString(16).padStart(2, "0")).join("")}`;
}
