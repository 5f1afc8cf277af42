// Drawings of parts in a colour.

const SVG = "http://www.w3.org/2000/svg";

/** The markup of a drawing in the tones of a colour, or "". @param {Drawing} drawing @param {string[]} tones */
function filled(drawing, tones) {
  let whole = true;
  const svg = drawing.svg.replace(/\{(id|p?\d+)\}/g, (_, name) => {
    if (name === "id") return "d";
    if (name.startsWith("p")) return page.outlines?.[Number(name.slice(1))] ?? "";
    const tone = tones[Number(name)];
    if (!tone || !/^#[0-9a-f]{3,8}$/i.test(tone)) whole = false;
    return tone ?? "";
  });
  const [x, y, w, h] = drawing.box.map(Number);
  return whole ? `<svg xmlns="${SVG}" viewBox="${x} ${y} ${w} ${h}" width="${w}mm" height="${h}mm">${svg}</svg>` : "";
}

/** @param {Colour} colour @param {Part} part @returns {Drawing | undefined} */
function drawingOf(colour, part) {
  return page.drawings?.[colour.look ?? ""]?.[part.key];
}

/**
 * A part in a colour: photographed, drawn, or its plain outline. It is decoration; the words stand beside it.
 * @param {number} index @param {Part} part @param {number} scale pixels a millimetre; 0 leaves the size to the style
 * @returns {HTMLElement}
 */
function pictureOf(index, part, scale) {
  const colour = /** @type {Colour} */ (page.colours[index]);
  const photo = page.photos?.[`${part.key}.${colour.key}`];
  const source = photo ? pictureAddress(photo[0]) : "";
  if (photo && source) {
    return make("img", {
      src: source, alt: "", loading: "lazy", class: "photo",
      width: scale ? Math.round(photo[1] * scale) : null, height: scale ? Math.round(photo[2] * scale) : null,
    });
  }
  const drawing = drawingOf(colour, part);
  const tones = (colour.tones ?? "").match(/[0-9a-f]{6}/g) ?? [];
  const markup = drawing ? filled(drawing, tones.map((tone) => `#${tone}`)) : "";
  if (drawing && markup) {
    // A picture of its own, since a list of drawings made of elements would slow down every search.
    const [, , w, h] = drawing.box;
    return make("img", {
      src: `data:image/svg+xml,${encodeURIComponent(markup)}`, alt: "",
      width: scale ? Math.round(w * scale) : null, height: scale ? Math.round(h * scale) : null,
    });
  }
  return make("span", { class: `outline ${valueClass(index)}`, "aria-hidden": "true" });
}

/** The part that stands for a colour in lists. @param {Colour} colour @param {string} wanted */
function shownPart(colour, wanted) {
  const parts = colour.parts.map((i) => page.parts[i]).filter((p) => p !== undefined);
  return parts.find((p) => p.key === wanted) ?? parts.find((p) => drawingOf(colour, p)) ?? parts[0];
}
