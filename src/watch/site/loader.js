// Sheets and places as they come from the program. Everything is decoded before anyone sees it.

/** @typedef {{image: HTMLImageElement, box: Box | null, hash: string, address: string}} Piece */
/** @typedef {{pieces: Piece[], size: Size | null}} Sheet */

/** @param {string} query @param {AbortSignal} signal @param {() => void} busy */
async function loadImage(query, signal, busy) {
  const answer = await untilDrawn(() => ask(`./sheet.svg?${query}`, signal), signal, busy);
  const blob = await answer.blob();
  const address = URL.createObjectURL(blob);
  const image = new Image();
  image.draggable = false;
  image.alt = "";
  image.src = address;
  try {
    const [head] = await Promise.all([blob.slice(0, 2048).text(), image.decode()]);
    signal.throwIfAborted();
    return { image, address, head };
  } catch (error) {
    URL.revokeObjectURL(address);
    throw error;
  }
}

/**
 * The page as one picture, or in pieces: then only those are fetched that the layer does not have.
 * @param {View} view @param {number} revision @param {boolean} inPieces @param {Piece[]} had
 * @param {AbortSignal} signal @param {() => void} busy @returns {Promise<Sheet>}
 */
async function loadSheet(view, revision, inPieces, had, signal, busy) {
  const query = viewQuery(view, revision);
  if (!inPieces) {
    const { image, address, head } = await loadImage(query, signal, busy);
    return { pieces: [{ image, address, box: null, hash: "" }], size: sizeInMm(head) };
  }
  const answer = await untilDrawn(() => ask(`./pieces?${query}`, signal), signal, busy);
  const list = /** @type {PieceList} */ (await answer.json());
  const spare = [...had];
  const pieces = await Promise.all(list.pieces.map(async ({ id, hash, box: [x0, y0, x1, y1] }) => {
    const box = { x0, y0, x1, y1 };
    const at = spare.findIndex((one) => one.hash === hash && hash !== "");
    if (at >= 0) return { ...spare.splice(at, 1)[0], box };
    const { image, address } = await loadImage(`${query}&${new URLSearchParams({ piece: id, hash })}`, signal, busy);
    return { image, address, hash, box };
  }));
  return { pieces, size: { width: list.width, height: list.height } };
}

/** Places of the pages looked at lately, by their query. @type {Map<string, Promise<Place[]>>} */
const placesKept = new Map();

/** @param {View} view @param {number} revision @returns {Promise<Place[]>} */
function loadPlaces(view, revision) {
  const query = viewQuery(view, revision);
  const kept = placesKept.get(query);
  if (kept) return kept;
  const signal = AbortSignal.timeout(60_000);
  const coming = untilDrawn(() => ask(`./places?${query}`, signal), signal)
    .then((answer) => answer.json())
    .then((body) => /** @type {Place[]} */ (Array.isArray(body?.places) ? body.places : []));
  placesKept.set(query, coming);
  coming.catch(() => placesKept.delete(query));
  for (const old of placesKept.keys()) {
    if (placesKept.size <= 24) break;
    placesKept.delete(old);
  }
  return coming;
}
