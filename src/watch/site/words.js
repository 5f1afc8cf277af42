// Every word the page shows or speaks.

/** @param {number} n @param {string} one @param {string} many */
const counted = (n, one, many) => `${n} ${n === 1 ? one : many}`;

const WORDS = {
  program: "shadecard",
  /** @param {string} title @param {number} errors */
  windowTitle: (title, errors) => (errors > 0 ? `(${counted(errors, "error", "errors")}) ${title}` : title),

  sheetArea: "Sheet",
  viewArea: "What is shown",
  zoomArea: "Zoom",
  panelArea: "About the sheet",
  edition: "Edition",
  spelling: "Spelling",
  style: "Style",
  page: "Page",
  /** @param {number} page @param {number} pages */
  pageOf: (page, pages) => `${page} of ${pages}`,
  previousPage: "Previous page",
  nextPage: "Next page",
  compare: "Compare with",
  compareNothing: "nothing",
  compareGroups: { style: "Another style", spelling: "Another spelling", release: "Another release", paper: "On paper" },
  releases: /** @type {Record<string, string>} */ ({ now: "as it is now", before: "earlier release" }),
  /** @param {string} paper */
  onPaper: (paper) => `on ${paper}`,
  beside: "Side by side",
  blink: "Blink",
  arrangement: "Arrangement",
  flip: "Flip",
  blinkRun: "Blink by itself",
  blinkHold: "Hold",
  blinkOff: "This system asks for less motion, so the sheet is flipped by hand only.",
  /** @param {string} name */
  shows: (name) => `Showing: ${name}`,
  panelToggle: "Panel",
  keysButton: "Keys",

  zoomOut: "Smaller",
  zoomIn: "Larger",
  zoomFit: "Fit",
  zoomFitLong: "Fit the whole page",
  zoomWidth: "Width",
  zoomWidthLong: "Fit the width of the page",
  zoomTrue: "1:1",
  zoomTrueLong: "True size in millimetres",
  ruler: "Ruler",
  measureScreen: "Measure screen",
  rulerLong: "lay a ruler on it for true millimetres",
  /** @param {number} percent */
  percent: (percent) => `${percent < 10 ? percent.toFixed(1) : Math.round(percent)} %`,
  /** @param {string} percent */
  zoomIs: (percent) => `Zoom ${percent} of true size`,
  wheelZooms: "Wheel zooms",
  /** @param {number} x @param {number} y */
  position: (x, y) => `${x.toFixed(1)}, ${y.toFixed(1)} mm`,

  rulerTitle: "Measure this screen",
  rulerText: "Lay a ruler on the screen. Make the bar exactly 100 mm long, then keep the setting. It is remembered in this browser for this screen.",
  rulerField: "Length of the bar in pixels",
  rulerSlide: "Length of the bar",
  rulerShorter: "A little shorter",
  rulerLonger: "A little longer",
  rulerTooWide: "The window is too narrow for the whole bar. Half of it is shown: make it exactly 50 mm long.",
  rulerBar: "100 mm",
  rulerHalfBar: "50 mm",
  keep: "Keep",
  cancel: "Cancel",
  close: "Close",

  keysTitle: "Keys",
  keysText: "While the sheet has the focus:",
  keysList: /** @type {[string, string][]} */ ([
    ["Arrow keys", "move the sheet"],
    ["+  −", "larger, smaller"],
    ["0", "fit the whole page"],
    ["W", "fit the width"],
    ["1", "true size"],
    ["Page Up, Page Down", "move by a window; with Alt: previous, next page"],
    ["F", "flip between the two that are compared"],
    ["Enter", "say where what is in the middle comes from"],
    ["Escape", "remove the marks"],
    ["Wheel, pinch", "zoom at the pointer; with Shift the wheel moves the sheet sideways"],
    ["Drag, click", "move the sheet; say where a thing comes from"],
  ]),

  tabs: { messages: "Messages", contents: "Contents", figures: "Figures", looks: "Look-alikes", paper: "Paper", changes: "Changes" },
  severity: { error: "Errors", warning: "Warnings", note: "Notes" },
  severityOne: { error: "Error", warning: "Warning", note: "Note" },
  noMessages: "No errors, warnings or notes.",
  /** @param {string} file @param {number} line @param {number} column */
  spot: (file, line, column) => (line > 0 ? (column > 0 ? `${file}:${line}:${column}` : `${file}:${line}`) : file),
  help: "What to do:",
  notOnSheet: "This is not on the sheet that is shown.",
  /** @param {number} page */
  onPage: (page) => `Shown on page ${page}.`,

  filter: "Find on the sheet",
  /** @param {number} n */
  contentsCount: (n) => counted(n, "thing", "things"),
  kinds: /** @type {Record<string, string>} */ ({
    colour: "Colours", part: "Parts", family: "Families", heading: "Headings", cell: "Parts in a colour",
    block: "Blocks", text: "Texts", other: "Other",
  }),
  /** @param {number} n */
  more: (n) => `${n} more: type more letters to find them.`,
  nothingFound: "Nothing on this page has that name.",

  noFigures: "There are no figures for this edition.",
  noLooks: "No two colours of this sheet are easily confused.",
  looksIntro: "Colours that are easily confused, nearest first. The difference is CIEDE2000.",
  /** @param {string} first @param {string} second */
  pair: (first, second) => `${first} and ${second}`,
  /** @param {string} words */
  secondIs: (words) => `the second is ${words}`,

  choosePaper: "Paper",
  noPaper: "Choose a paper to see what it makes of the colours.",
  paperBusy: "Working out the colours…",
  paperPairs: "Pairs of colours, the worst first",
  /** @param {number} before @param {number} after */
  differs: (before, after) => `${before.toFixed(1)} → ${after.toFixed(1)}`,
  /** @param {number} before @param {number} after */
  differsSpoken: (before, after) => `difference ${before.toFixed(1)}, on paper ${after.toFixed(1)}`,
  comparePaper: "Show beside the sheet",

  noChanges: "The last change made no difference to the sheet.",
  firstSheet: "This is the first good sheet since the program was started.",
  changesIntro: "The sheet that is shown, against the good one before it.",
  markChanges: "Mark them on the sheet",

  place: "Where it comes from",
  copy: "Copy the place",
  copied: "Copied",
  alsoHere: "Also here",
  alsoMarked: "Also marked",
  forget: "Remove the mark",
  unknownPlace: "The files of now do not have this: it belongs to the earlier release.",
  showOnSheet: "Show on the sheet",

  /** @param {string} title @param {string} edition @param {string} rest */
  sheetAlt: (title, edition, rest) => `${title}, ${edition}, ${rest}`,
  /** @param {number} page @param {number} pages */
  pageAlt: (page, pages) => `page ${page} of ${pages}`,

  connecting: "Connecting…",
  reading: "Reading the files…",
  upToDate: "Up to date",
  drawing: "Drawing…",
  stale: "Last good sheet",
  noneYet: "There is no good sheet yet. The messages say what is wrong.",
  /** @param {number} errors */
  staleLong: (errors) => `${counted(errors, "error", "errors")}: the last good sheet is shown`,
  lost: "Not connected: the program has stopped or is busy. This page tries again.",
  gone: "The program has ended. Start it again and open the address it prints.",
  /** @param {number} errors @param {number} warnings @param {number} notes */
  tally: (errors, warnings, notes) =>
    [[errors, "error", "errors"], [warnings, "warning", "warnings"], [notes, "note", "notes"]]
      .filter(([n]) => /** @type {number} */ (n) > 0)
      .map(([n, one, many]) => counted(/** @type {number} */ (n), /** @type {string} */ (one), /** @type {string} */ (many)))
      .join(", "),
  failed: "The sheet could not be drawn.",
};
