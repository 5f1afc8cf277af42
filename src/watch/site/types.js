// The shapes of what the server sends and of what the page keeps. No code.

/** @typedef {{label: string, value: string}} Figure */
/** @typedef {{name: string, pages: number, width: number, height: number, spellings: string[], figures: Figure[]}} Edition */
/** @typedef {{tag: string, name: string}} Spelling */
/** @typedef {{file: string, line: number, column: number, text: string}} Spot */
/**
 * @typedef {Spot & {severity: "error" | "warning" | "note", message: string, help: string,
 *   from: number, to: number, origins: string[]}} Finding
 */
/** @typedef {{first: string, second: string, first_name: string, second_name: string}} Pair */
/** @typedef {Pair & {difference: number, words: string}} LookAlike */
/** @typedef {Pair & {before: number, after: number, verdict: string}} PaperPair */
/** @typedef {{name: string, figures: Figure[], pairs: PaperPair[]}} PaperReport */
/** @typedef {{origin: string | null, text: string}} Change */
/** @typedef {Spot & {what: string, value?: string}} Origin */
/**
 * @typedef {object} State
 * @property {number} revision
 * @property {number} sheet_revision
 * @property {boolean} good
 * @property {string} sheet
 * @property {string} title
 * @property {Edition[]} editions
 * @property {Spelling[]} spellings
 * @property {string[]} styles
 * @property {string[]} releases
 * @property {string[]} papers
 * @property {Finding[]} findings
 * @property {LookAlike[]} look_alikes
 * @property {PaperReport | null} paper
 * @property {Change[]} changes
 * @property {number} changes_from
 * @property {boolean} pieces
 * @property {Record<string, Origin>} origins
 */
/** @typedef {{width: number, height: number, pieces: {id: string, hash: string, box: [number, number, number, number]}[]}} PieceList */
/** @typedef {{revision: number, sheet_revision: number, good: boolean}} Look */
/** @typedef {[number, number, number, number, string]} Place  x0, y0, x1, y1 in mm, key of the origin */
/** @typedef {{x0: number, y0: number, x1: number, y1: number}} Box */
/** @typedef {{edition: string, spelling: string, style: string, release: string, page: number, paper: string}} View */
/** @typedef {"style" | "spelling" | "release" | "paper"} Aspect */
/** @typedef {{aspect: Aspect, value: string}} Against */
/** @typedef {{width: number, height: number}} Size */
/** @typedef {"fit" | "width" | "true" | "free"} ZoomMode */
