// Needs by keyboard: J and K go to the next and the previous need; Alt with A, L or F presses the button that bears
// the letter. Nothing is decided by one key: a scanner types letters too. Everything also works by links and buttons.
import { onLoneKey } from "./lone-keys.js";

const step = (by) => {
  const rows = Array.from(document.querySelectorAll("tr[data-need]"));
  const at = rows.findIndex((row) => row.classList.contains("is-here"));
  const row = rows[Math.max(0, Math.min(rows.length - 1, at + by))];
  const link = row?.querySelector(".row-open");
  if (link && !row.classList.contains("is-here")) location.assign(link.href);
};

const STEPS = { j: 1, k: -1 };

onLoneKey((key) => {
  const by = STEPS[key.toLowerCase()];
  if (by) step(by);
});

document.addEventListener("keydown", (event) => {
  if (!event.altKey || event.ctrlKey || event.metaKey || event.repeat) return;
  const letter = /^Key([A-Z])$/.exec(event.code)?.[1].toLowerCase();
  const button = letter && document.querySelector(`button[data-key='${letter}']`);
  if (!button) return;
  event.preventDefault();
  button.click();
});

const here = document.querySelector("tr.is-here");
if (here && matchMedia("(min-width: 1101px)").matches) here.scrollIntoView({ block: "nearest" });
