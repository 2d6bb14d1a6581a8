// A list by keyboard: j k or arrows move, Enter opens, x selects, / goes to the filters, Escape closes.
// Everything also works without it.
import { close, goTo, here, mark, rows, table } from "./list-table.js";
import { onLoneKey } from "./lone-keys.js";

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
  ArrowDown: () => move(1),
  ArrowUp: () => move(-1),
  Escape: closeHere,
};

// Letters only when they come alone: a scanner types them too.
const LETTERS = {
  j: () => move(1),
  k: () => move(-1),
  x: () => here()?.querySelector("input[type=checkbox]")?.click(),
  "/": toFilters,
};

const isPlain = (event) => !(event.ctrlKey || event.metaKey || event.altKey);

const act = (event) => {
  const isOurs = Object.hasOwn(ACTS, event.key);
  if (isOurs || event.key === "/") event.preventDefault();
  if (isOurs) ACTS[event.key]();
};

const onKey = (event) => {
  if (!isPlain(event) || !table()) return;
  const field = event.target.closest("input:not([type=checkbox]), select, textarea");
  if (!field) act(event);
  else if (event.key === "Escape") field.blur();
};

const onFocus = (event) => {
  const row = event.target.closest("[data-keys] tr[data-row]");
  if (row && row !== here()) mark(row);
};

export const listenToKeys = () => {
  document.addEventListener("keydown", onKey);
  onLoneKey((key) => {
    if (table() && Object.hasOwn(LETTERS, key)) LETTERS[key]();
  });
  document.addEventListener("focusin", onFocus);
};
