// What the page knows and what the user chose.

/** @type {State | null} */
let state = null;
/** What the user chose; it may not all exist at the moment. */
const wanted = /** @type {Partial<View>} */ (remembered("sessionStorage", "view") ?? {});
let view = /** @type {View | null} */ (null);
let against = /** @type {Against | null} */ (null);
let arranged = /** @type {"beside" | "blink"} */ ("beside");
let link = /** @type {"connecting" | "open" | "lost" | "gone"} */ ("connecting");
/** The newest sheet there is, and how many pages are being fetched. */
let newest = 0;
let drawing = 0;
/** The thing that is marked and what lies below it, or the things of one message. @type {string[]} */
let here = [];
/** @type {string[]} */
let marked = [];
/** The things of `here` were asked for together, they do not lie on one another. */
let together = false;
let note = "";
/** Things to scroll to as soon as their page has come. @type {string[]} */
let pending = [];
let markChanges = remembered("sessionStorage", "markChanges") === true;
let wheelZooms = remembered("localStorage", "wheel") !== false;
let paperName = "";
/** @type {PaperReport | null} */
let paperReport = null;
let paperTrouble = "";
/** @type {AbortController | null} */
let stateComing = null;
