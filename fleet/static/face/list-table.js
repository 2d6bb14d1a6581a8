// The one [data-keys] table of a page: its rows, the row that a person is at, and what is opened below a row.
// Each row has one .row-open link.
export const table = () => document.querySelector("[data-keys]");

export const rows = () => Array.from(table()?.querySelectorAll("tr[data-row]") ?? []);

export const here = () => table()?.querySelector("tr.is-here") ?? null;

export const mark = (row) => {
  here()?.classList.remove("is-here");
  row.classList.add("is-here");
};

export const goTo = (row) => {
  if (!row) return;
  mark(row);
  row.querySelector(".row-open")?.focus({ preventScroll: true });
  row.scrollIntoView({ block: "nearest" });
};

export const openedBelow = (row) => {
  const next = row.nextElementSibling;
  return next?.classList.contains("why-row") ? next : null;
};

export const close = (row) => {
  openedBelow(row)?.remove();
  row.classList.remove("is-open");
  row.querySelector(".row-open")?.setAttribute("aria-expanded", "false");
};
