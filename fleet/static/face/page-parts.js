// A long page in parts: the address names the part, so that a link or going back shows it; here its way is marked.
// A tap on a drawn position opens what is listed of it beside the plan.
const ways = () => Array.from(document.querySelectorAll("[data-parts] a"));

const shown = () => {
  const target = location.hash ? document.getElementById(decodeURIComponent(location.hash.slice(1))) : null;
  return target?.closest(".part")?.id ?? document.querySelector(".part.is-first")?.id;
};

const mark = () => {
  const here = shown();
  ways().forEach((way) => {
    if (way.hash === `#${here}`) way.setAttribute("aria-current", "true");
    else way.removeAttribute("aria-current");
  });
};

const labelled = (cell, heads) => {
  const term = document.createElement("dt");
  term.textContent = heads[cell.cellIndex]?.textContent.trim() ?? "";
  const told = document.createElement("dd");
  told.append(...Array.from(cell.cloneNode(true).childNodes));
  return [term, told];
};

const listed = (row) => {
  const heads = Array.from(row.closest("table").tHead?.rows[0]?.cells ?? []);
  const list = document.createElement("dl");
  list.className = "beside-facts";
  Array.from(row.cells).filter((cell) => cell.textContent.trim()).forEach((cell) => list.append(...labelled(cell, heads)));
  return list;
};

// The rows of a position: its own, and what is inside it.
const rowsOf = (row) => {
  const found = [row];
  for (let next = row.nextElementSibling; next && !next.id.startsWith("pos-"); next = next.nextElementSibling) found.push(next);
  return found;
};

const openBeside = (event) => {
  const target = event.target.closest?.(".plan-target");
  const beside = document.querySelector("[data-beside]");
  const row = target && document.getElementById(target.getAttribute("href").slice(1));
  if (!beside || !row) return;
  event.preventDefault();
  const head = document.createElement("h3");
  head.textContent = target.getAttribute("aria-label");
  beside.replaceChildren(head, ...rowsOf(row).map(listed));
  beside.hidden = false;
  document.querySelectorAll(".plan-target.is-here").forEach((each) => each.classList.remove("is-here"));
  document.querySelectorAll(`.plan-target[href="${target.getAttribute("href")}"]`).forEach((each) => each.classList.add("is-here"));
};

// One stop for the keyboard: arrows go from position to position.
const targetsOf = (target) => Array.from(target.closest("svg").querySelectorAll(".plan-target"));

const rove = () => {
  document.querySelectorAll("svg.plan-drawing").forEach((svg) => {
    svg.querySelectorAll(".plan-target").forEach((target, at) => target.setAttribute("tabindex", at ? "-1" : "0"));
  });
};

const STEPS = { ArrowDown: 1, ArrowLeft: -1, ArrowRight: 1, ArrowUp: -1 };

const onKey = (event) => {
  const target = event.target.closest?.(".plan-target");
  if (!target || !Object.hasOwn(STEPS, event.key)) return;
  event.preventDefault();
  const all = targetsOf(target);
  const next = all[(all.indexOf(target) + STEPS[event.key] + all.length) % all.length];
  target.setAttribute("tabindex", "-1");
  next.setAttribute("tabindex", "0");
  next.focus();
};

export const showParts = () => {
  if (!document.querySelector(".part")) return;
  mark();
  rove();
  addEventListener("hashchange", mark);
  document.addEventListener("click", openBeside);
  document.addEventListener("keydown", onKey);
};
