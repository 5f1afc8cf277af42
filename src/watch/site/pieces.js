// The pieces of the page, put together.

const desk = new Desk();
const blinker = new Blinker(desk, () => renderTools());
const findings = findingsSection({ show });
const contents = contentsSection({ show });
const figures = figuresSection();
const looks = lookalikesSection({ show });
const papers = paperSection({ show, choose: choosePaper, compare: (name) => setAgainst({ aspect: "paper", value: name }) });
const changes = changesSection({ show, markAll }, markChanges);
const place = placeCard({ choose, forget });
const standing = statusLine();
const panelTabs = tabs(WORDS.panelArea, [
  { id: "messages", label: WORDS.tabs.messages, content: findings.element },
  { id: "contents", label: WORDS.tabs.contents, content: contents.element },
  { id: "figures", label: WORDS.tabs.figures, content: figures.element },
  { id: "looks", label: WORDS.tabs.looks, content: looks.element },
  { id: "paper", label: WORDS.tabs.paper, content: papers.element },
  { id: "changes", label: WORDS.tabs.changes, content: changes.element },
], String(remembered("sessionStorage", "tab") ?? "messages"));
const tools = viewBar({ setView, setAgainst, setArrangement }, blinker);
const zoom = zoombar(desk, {
  trueSize: () => (measured() ? desk.setMode("true") : measure(true)),
  measure: () => measure(false),
  setWheel: (on) => {
    wheelZooms = on;
    remember("localStorage", "wheel", on);
  },
}, wheelZooms);
let zoomAfter = false;
const ruler = rulerDialog((kept) => {
  if (kept) remember("localStorage", "ruler", kept);
  readRuler();
  if (zoomAfter) desk.setMode("true");
  else desk.refresh();
});
const keys = keysDialog();
const page = frame({
  toolbar: tools.element, desk: desk.element, zoombar: zoom.element, place: place.element, status: standing.element,
  voice: standing.voice, tabs: panelTabs.list,
}, panelTabs.panels, [ruler.element, keys.element], keys.open);

function measured() {
  return trueScale(remembered("localStorage", "ruler"), devicePixelRatio).measured;
}

function readRuler() {
  desk.trueScale = trueScale(remembered("localStorage", "ruler"), devicePixelRatio).scale;
}

/** @param {boolean} andZoom */
function measure(andZoom) {
  zoomAfter = andZoom;
  ruler.open(desk.trueScale);
}
