// Needs by keyboard: J and K go to the next and the previous need, A, L and F press the buttons that bear
// these letters. Everything also works by links and buttons without it.
const step = (by) => {
  const rows = Array.from(document.querySelectorAll("tr[data-need]"));
  const at = rows.findIndex((row) => row.classList.contains("is-here"));
  const row = rows[Math.max(0, Math.min(rows.length - 1, at + by))];
  const link = row?.querySelector(".row-open");
  if (link && !row.classList.contains("is-here")) location.assign(link.href);
};

const press = (key) => {
  const button = /^[a-z]$/.test(key) && document.querySelector(`button[data-key='${key}']`);
  if (button) button.click();
  return Boolean(button);
};

const isOurs = (event) =>
  !(event.ctrlKey || event.metaKey || event.altKey || event.repeat) && !event.target.closest("input, select, textarea");

const STEPS = { j: 1, k: -1 };

document.addEventListener("keydown", (event) => {
  if (!isOurs(event)) return;
  const key = event.key.toLowerCase();
  if (Object.hasOwn(STEPS, key)) {
    event.preventDefault();
    step(STEPS[key]);
  } else if (press(key)) {
    event.preventDefault();
  }
});

const here = document.querySelector("tr.is-here");
if (here && matchMedia("(min-width: 1101px)").matches) here.scrollIntoView({ block: "nearest" });
