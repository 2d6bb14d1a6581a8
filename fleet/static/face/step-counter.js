// One more, one less: the buttons beside a count, for a thumb in a glove. What is counted is sent once it settles.
const SETTLED = 900; // ms

const tell = (field, name) => field.dispatchEvent(new Event(name, { bubbles: true }));

// Buttons of the answer stand outside the form and belong to it by name.
export const countByButtons = (form) => {
  let settling = null;
  document.addEventListener("click", (event) => {
    const step = event.target.closest("[data-count]");
    if (!step) return;
    const field = form.elements.count;
    const count = Number.parseInt(field.value, 10);
    field.value = Math.max(0, (Number.isNaN(count) ? 0 : count) + Number(step.dataset.count));
    tell(field, "input");
    clearTimeout(settling);
    settling = setTimeout(() => tell(field, "change"), SETTLED);
  });
  document.querySelectorAll("[data-count]").forEach((button) => {
    button.hidden = false;
  });
};
