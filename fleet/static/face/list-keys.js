// A list by keyboard: j k or arrows move, Enter opens, x selects, / goes to the filters, Escape closes.
// Everything also works without it.
import { close, goTo, here, mark, rows, table } from "./list-table.js";

const move = (by) => {
  const all = rows();
  const at = all.indexOf(here());
  goTo(all[Math.max(0, Math.min(all.length - 1, at + by))]);
};

const toFilters = () => {
  const first = document.querySelector("[data-first-filter]");
  if (!first) return;
  const fold = first.closest("details");
  if (fold) fold.open = true;
  first.focus();
};

const closeHere = () => {
  if (here()) close(here());
};

const ACTS = {
  j: () => move(1),
  ArrowDown: () => move(1),
  k: () => move(-1),
  ArrowUp: () => move(-1),
  x: () => here()?.querySelector("input[type=checkbox]")?.click(),
  Escape: closeHere,
  "/": toFilters,
};

const onKey = (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || !table()) return;
  const field = event.target.closest("input:not([type=checkbox]), select, textarea");
  if (field) {
    if (event.key === "Escape") field.blur();
    return;
  }
  if (!Object.hasOwn(ACTS, event.key)) return;
  event.preventDefault();
  ACTS[event.key]();
};

const onFocus = (event) => {
  const row = event.target.closest("[data-keys] tr[data-row]");
  if (row && row !== here()) mark(row);
};

export const listenToKeys = () => {
  document.addEventListener("keydown", onKey);
  document.addEventListener("focusin", onFocus);
};
