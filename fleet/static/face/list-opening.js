// A row explained in its place: opening it a second time closes it, and the link says which it is.
import { close, openedBelow } from "./list-table.js";

const onAsk = (event) => {
  const row = event.target.closest?.(".row-open")?.closest("tr");
  if (!row || !openedBelow(row)) return;
  event.preventDefault();
  close(row);
};

const onAnswer = (event) => {
  const asked = event.detail.requestConfig?.elt;
  if (!asked?.matches?.(".row-open")) return;
  asked.setAttribute("aria-expanded", "true");
  asked.closest("tr").classList.add("is-open");
};

// The list could not be fetched: say so instead of standing still.
const onFault = () => {
  const out = document.getElementById("list-fault");
  if (out) out.hidden = false;
};

export const openInPlace = () => {
  document.addEventListener("htmx:beforeRequest", onAsk);
  document.addEventListener("htmx:afterSwap", onAnswer);
  document.addEventListener("htmx:responseError", onFault);
  document.addEventListener("htmx:sendError", onFault);
};
