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
