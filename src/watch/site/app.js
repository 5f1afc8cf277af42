// Starts the page.

desk.onZoom = () => zoom.update(measured());
readRuler();
for (const pane of desk.panes) {
  attachGestures(desk, pane, {
    wheelZooms: () => wheelZooms, pick,
    hover: (over, point) => {
      const top = point ? hits((over.layers[over.top] ?? desk.layers[0]).places, point.x, point.y)[0] : undefined;
      over.scroller.classList.toggle("over", top !== undefined);
      zoom.say(point ? [top === undefined ? "" : state?.origins[top]?.what ?? top, WORDS.position(point.x, point.y)].filter(Boolean).join("  ·  ") : "");
    },
  });
  attachKeys(desk, pane, {
    fitWidth: () => desk.setMode("width"), trueSize: () => (measured() ? desk.setMode("true") : measure(true)),
    flip: () => { blinker.hold(); blinker.flip(); }, forget, turnPage, pick,
  });
}
addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !document.querySelector("dialog[open]")) forget();
});
addEventListener("resize", () => {
  readRuler();
  desk.refresh();
});
listen(onLook, (gone) => {
  link = gone ? "gone" : "lost";
  renderStatus();
}, () => {
  link = "open";
  renderStatus();
});
renderStatus();
desk.onZoom();
