// Needs by keyboard: arrows go to the next and the previous need; Alt with A, L or F presses the button that bears
// the letter. Nothing is decided by one key: a scanner types letters too. Everything also works by links and buttons.
import { altLetter, isOn } from "./keys.js";

const step = (by) => {
  const rows = Array.from(document.querySelectorAll("tr[data-need]"));
  const at = rows.findIndex((row) => row.classList.contains("is-here"));
  const row = rows[Math.max(0, Math.min(rows.length - 1, at + by))];
  const link = row?.querySelector(".row-open");
  if (link && !row.classList.contains("is-here")) location.assign(link.href);
};

const STEPS = { ArrowDown: 1, ArrowUp: -1 };

document.addEventListener("keydown", (event) => {
  const isField = event.target.closest("input, select, textarea");
  const isModified = event.ctrlKey || event.metaKey || event.altKey || event.shiftKey;
  if (!isOn() || isField || isModified || !Object.hasOwn(STEPS, event.key)) return;
  event.preventDefault();
  step(STEPS[event.key]);
});

document.addEventListener("keydown", (event) => {
  const letter = altLetter(event);
  const button = letter && document.querySelector(`button[data-key='${letter}']`);
  if (!button) return;
  event.preventDefault();
  button.click();
});

const here = document.querySelector("tr.is-here");
if (here && matchMedia("(min-width: 1101px)").matches) here.scrollIntoView({ block: "nearest" });
