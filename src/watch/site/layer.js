// One page of one edition as it lies on the desk: the picture, the places on it, the marks.

class Layer {
  constructor() {
    this.marks = make("div", { class: "marks", "aria-hidden": "true" });
    this.picture = make("div", { class: "picture", role: "img" });
    this.element = make("div", { class: "paper empty-paper" }, this.picture, this.marks);
    /** @type {Piece[]} */
    this.pieces = [];
    /** @type {Size | null} */
    this.size = null;
    /** @type {Place[]} */
    this.places = [];
    /** What is shown, and what is on its way: a query each. */
    this.shown = "";
    this.wanted = "";
    /** @type {View | null} */
    this.view = null;
    /** @type {AbortController | null} */
    this.coming = null;
  }

  get filled() {
    return this.pieces.length > 0;
  }

  /**
   * Fetches a page and puts it in place of the old one when it is ready. Answers whether it did: a newer request, or
   * nothing new, is no.
   * @param {View} view @param {number} revision @param {Size | null} assumed @param {boolean} inPieces
   * @param {() => void} busy @returns {Promise<boolean>}
   */
  async load(view, revision, assumed, inPieces, busy) {
    const query = viewQuery(view, revision);
    if (query === this.wanted) return false;
    this.coming?.abort();
    const controller = new AbortController();
    this.coming = controller;
    this.wanted = query;
    try {
      const sheet = await loadSheet(view, revision, inPieces, this.pieces, controller.signal, busy);
      if (this.wanted !== query) {
        release(sheet.pieces, this.pieces);
        return false;
      }
      this.replace(sheet, assumed);
      this.shown = query;
      this.view = view;
      const places = loadPlaces(view, revision);
      void places.then((list) => {
        if (this.shown === query) this.places = list;
      }, () => undefined);
      return true;
    } catch (error) {
      if (this.wanted === query) this.wanted = "";
      if (wasAborted(error)) return false;
      throw error;
    }
  }

  /** @param {Sheet} sheet @param {Size | null} assumed */
  replace(sheet, assumed) {
    release(this.pieces, sheet.pieces);
    this.pieces = sheet.pieces;
    this.size = sheet.size ?? assumed ?? this.size;
    this.places = [];
    for (const { image, box } of sheet.pieces) {
      image.classList.toggle("piece", box !== null);
      if (box) setBox(image, box);
    }
    replaceOnlyNew(this.picture, sheet.pieces.map((piece) => piece.image));
    this.element.classList.remove("empty-paper");
  }

  /** @param {string} alt */
  describe(alt) {
    this.picture.setAttribute("aria-label", alt);
  }

  /** Forgets the page, for instance because the other release has none. */
  clear() {
    this.coming?.abort();
    release(this.pieces, []);
    this.pieces = [];
    this.picture.replaceChildren();
    this.element.classList.add("empty-paper");
    this.shown = this.wanted = "";
    this.places = [];
    this.marks.replaceChildren();
  }

  /** @param {number} scale in pixels per mm */
  setScale(scale) {
    if (!this.size) return;
    this.element.style.width = `${this.size.width * scale}px`;
    this.element.style.height = `${this.size.height * scale}px`;
    this.element.style.setProperty("--scale", String(scale));
  }

  /** @param {{boxes: Box[], kind: "chosen" | "second" | "changed"}[]} groups */
  setMarks(groups) {
    this.marks.replaceChildren(...groups.flatMap(({ boxes, kind }) => boxes.map((box) => {
      const mark = make("div", { class: `mark ${kind}` });
      setBox(mark, box);
      return mark;
    })));
  }
}

/** The styles turn millimetres into pixels. @param {HTMLElement} element @param {Box} box */
function setBox(element, box) {
  element.style.setProperty("--x", String(box.x0));
  element.style.setProperty("--y", String(box.y0));
  element.style.setProperty("--w", String(box.x1 - box.x0));
  element.style.setProperty("--h", String(box.y1 - box.y0));
}

/** Lets go of pieces that are not used on. @param {Piece[]} old @param {Piece[]} kept */
function release(old, kept) {
  for (const piece of old) if (!kept.some((one) => one.address === piece.address)) URL.revokeObjectURL(piece.address);
}

/**
 * Leaves the images that stay where they are: only what is new is drawn again.
 * @param {HTMLElement} parent @param {HTMLElement[]} images
 */
function replaceOnlyNew(parent, images) {
  const staying = new Set(images);
  images.forEach((image, i) => {
    const now = parent.children[i];
    if (now === image) return;
    if (now instanceof HTMLElement && !staying.has(now)) now.replaceWith(image);
    else parent.insertBefore(image, now ?? null);
  });
  while (parent.children.length > images.length) parent.lastElementChild?.remove();
}
