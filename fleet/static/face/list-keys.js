// A list by keyboard: arrows move, Enter opens, Space selects, Escape closes, Alt with N goes to the filters.
// No single letter does anything, as a scanner types letters. Everything also works without it.
import { altLetter, isOn } from "./keys.js";
import { close, goTo, here, mark, rows, table } from "./list-table.js";

const move = (by) => {
  const all = rows();
  const at = all.indexOf(here());
  goTo(all[Math.max(0, Math.min(all.length - 1, at + by))]);
};

const toFilters = () => {
  const first = document.querySelector("[data-first-filter]");
  if (!first) return false;
  const fold = first.closest("details");
  if (fold) fold.open = true;
  first.focus();
  return true;
};

const closeHere = () => {
  if (here()) close(here());
};

const ACTS = {
  ArrowDown: () => move(1),
  ArrowUp: () => move(-1),
  Escape: closeHere,
};

const isPlain = (event) => !(event.ctrlKey || event.metaKey || event.altKey || event.shiftKey);

// Space on a row's own link, or nowhere in particular; on a button or a box it does what it always does.
const select = (event) => {
  const box = here()?.querySelector("input[type=checkbox]");
  const at = event.target;
  if (!box || !(at === document.body || at.matches(".row-open"))) return;
  event.preventDefault();
  box.click();
};

const onPlain = (event) => {
  const field = event.target.closest("input:not([type=checkbox]), select, textarea");
  if (field) {
    if (event.key === "Escape") field.blur();
  } else if (Object.hasOwn(ACTS, event.key)) {
    event.preventDefault();
    ACTS[event.key]();
  } else if (event.key === " ") select(event);
};

const onKey = (event) => {
  if (!isOn() || !table()) return;
  if (altLetter(event) === "n" && toFilters()) event.preventDefault();
  else if (isPlain(event)) onPlain(event);
};

const onFocus = (event) => {
  const row = event.target.closest("[data-keys] tr[data-row]");
  if (row && row !== here()) mark(row);
};

export const listenToKeys = () => {
  document.addEventListener("keydown", onKey);
  document.addEventListener("focusin", onFocus);
};
