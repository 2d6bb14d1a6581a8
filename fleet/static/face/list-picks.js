// The rows that are ticked: marked, counted beside the exports, and all of a page at once.
const BOXES = "[data-keys] input[type=checkbox][name]";

const choose = (box) => box.closest("tr").classList.toggle("is-chosen", box.checked);

const count = () => {
  const out = document.getElementById("picked");
  if (!out) return;
  const picked = document.querySelectorAll(`${BOXES}:checked`).length;
  out.textContent = picked ? `${picked} selected` : "";
};

const pickAll = (isPicked) => {
  document.querySelectorAll(BOXES).forEach((box) => {
    box.checked = isPicked;
    choose(box);
  });
};

const onChange = (event) => {
  const box = event.target;
  if (box.matches("[data-pick-all]")) pickAll(box.checked);
  else if (box.matches("[data-keys] input[type=checkbox]")) choose(box);
  count();
};

export const countPicks = () => {
  document.addEventListener("change", onChange);
  document.addEventListener("htmx:afterSwap", count);
};
