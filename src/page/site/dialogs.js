// The three dialogs: a card, side by side, the order list.

/** @param {State | null} before */
function renderDialogs(before) {
  const { state } = host;
  const same = (/** @type {(keyof State)[]} */ keys) => before !== null && keys.every((key) => before[key] === state[key]);
  const index = state.colour ? page.colours.findIndex((c) => c.key === state.colour) : -1;
  const view = index >= 0 ? "card" : state.view;
  if (view === "card" && !same(["colour", "spelling"])) fillCard(host, index, foundItems);
  if (view === "beside" && !same(["colour", "view", "beside", "spelling"])) fillBeside(host);
  else if (view === "beside") showSurround(state);
  if (view === "order" && !same(["colour", "view", "spelling"])) fillOrder(host);
  for (const id of ["card", "beside", "order"]) {
    const dialog = /** @type {HTMLDialogElement} */ (byId(id));
    if (id !== view && dialog.open) dialog.close();
  }
  document.documentElement.classList.toggle("dialog", view !== "");
  if (!view) return;
  const dialog = /** @type {HTMLDialogElement} */ (byId(view));
  const title = byId(`${view}-title`);
  if (!dialog.open) {
    dialog.showModal();
    dialog.scrollTop = 0;
    title.focus();
  } else if (view === "card" && before?.colour !== state.colour) {
    dialog.scrollTop = 0;
    title.focus();
  } else if (view === "beside" && !dialog.contains(document.activeElement)) title.focus();
}

function watchDialogs() {
  for (const id of ["card", "beside", "order"]) {
    const dialog = byId(id);
    dialog.addEventListener("cancel", (event) => {
      event.preventDefault();
      host.go({ colour: "", view: "" });
    });
    dialog.addEventListener("click", (event) => {
      if (event.target === dialog) host.go({ colour: "", view: "" });
    });
  }
  byId("card").addEventListener("keydown", (event) => {
    if (event.target instanceof HTMLInputElement) return;
    const by = event.key === "ArrowLeft" ? -1 : event.key === "ArrowRight" ? 1 : 0;
    if (by) /** @type {HTMLElement | null} */ (byId("card").querySelector(`[data-step="${by}"]`))?.click();
  });
}
