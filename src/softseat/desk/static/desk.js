// What a grid does not do by itself: a block of cells pasted from a spreadsheet, and keys of the desk.
"use strict";
(() => {
  const gridOf = (element) => {
    const host = element && element.closest ? element.closest(".nicegui-aggrid") : null;
    return host ? getElement(Number(host.id.slice(1))) : null;
  };
  document.addEventListener("paste", (event) => {
    const active = document.activeElement;
    if (!active || /^(INPUT|TEXTAREA)$/.test(active.tagName)) return;
    const grid = gridOf(active);
    const at = grid && grid.api && grid.api.getFocusedCell();
    const text = event.clipboardData && event.clipboardData.getData("text/plain");
    if (!at || !text) return;
    event.preventDefault();
    const columns = grid.api.getAllDisplayedColumns().map((c) => c.getColId());
    const lines = text.replace(/\r?\n$/, "").split(/\r?\n/).map((l) => l.split("\t"));
    const rows = lines.map((_, i) => grid.api.getDisplayedRowAtIndex(at.rowIndex + i)).map((n) => n && n.data.n);
    emitEvent("block", { rows, columns: columns.slice(columns.indexOf(at.column.getColId())), lines });
  });
  // A box for files is one control, the browser's own: the keys reach it, a screen reader can name it. So with the line of progress.
  const name = (input) => {
    const title = input.closest(".q-uploader").querySelector(".q-uploader__title");
    const around = input.closest("a");
    input.setAttribute("aria-label", title ? title.textContent : "file");
    input.tabIndex = 0;
    ["role", "tabindex"].forEach((said) => around && around.removeAttribute(said));
  };
  new MutationObserver(() => {
    document.querySelectorAll(".q-uploader__input[tabindex='-1']").forEach(name);
    document.querySelectorAll(".q-loading-bar:not([aria-label])").forEach((bar) => bar.setAttribute("aria-label", "loading"));
  }).observe(document.documentElement, { childList: true, subtree: true });
  // On paper a grid is a plain table of what it shows, filters and order as they stand: a grid draws only the rows in its window.
  const cells = (row, tag, texts) => texts.forEach((text) => {
    row.appendChild(document.createElement(tag)).textContent = text === null || text === undefined ? "" : String(text);
  });
  window.addEventListener("beforeprint", () => document.querySelectorAll(".nicegui-aggrid").forEach((host) => {
    const api = (getElement(Number(host.id.slice(1))) || {}).api;
    if (!api) return;
    const columns = api.getAllDisplayedColumns().filter((c) => c.getColDef().headerName);
    const table = document.createElement("table");
    table.className = "facts printed";
    cells(table.createTHead().insertRow(), "th", columns.map((c) => c.getColDef().headerName));
    const body = table.createTBody();
    api.forEachNodeAfterFilterAndSort((node) => cells(body.insertRow(), "td", columns.map((c) => node.data[c.getColId()])));
    host.after(table);
  }));
  window.addEventListener("afterprint", () => document.querySelectorAll("table.printed").forEach((table) => table.remove()));
  document.addEventListener("keydown", (event) => {
    const typing = /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement.tagName) || document.activeElement.isContentEditable;
    if (event.key === "/" && !typing) {
      const box = document.querySelector(".phone input");
      if (box) { event.preventDefault(); box.focus(); }
    }
    if (typing) return;
    const link = { j: "next-item", k: "last-item" }[event.key];
    const target = link && document.querySelector(`[data-go="${link}"]`);
    if (target) { event.preventDefault(); target.click(); }
    if ((event.ctrlKey || event.metaKey) && event.key === "z") emitEvent("undo", {});
  });
})();
