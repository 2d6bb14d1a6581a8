// The server's answer to an entry, put into the page around the form: verdict, progress, signatures.
import { clock, say } from "./said.js";

const PARTS = ["#verdict", ".job-line", ".job-count"];

const replaceParts = (told) => {
  PARTS.forEach((name) => {
    const old = document.querySelector(name);
    const made = told.querySelector(name);
    if (old && made) old.replaceWith(document.importNode(made, true));
  });
};

const sayWhatCame = (answer) => {
  if (answer.ok) say(`Kept ${clock()}`);
  else say(`It could not be kept (${answer.status}). It stays on this device.`, "refused");
};

export const show = (form, html, answer) => {
  const told = new DOMParser().parseFromString(html, "text/html");
  replaceParts(told);
  const after = document.getElementById("step-after");
  const made = told.getElementById("step-after");
  if (!after || !made) {
    sayWhatCame(answer);
    return;
  }
  after.replaceWith(document.importNode(made, true));
  const seen = document.querySelector("#step-after [data-seen]");
  if (form && seen && answer.ok) form.elements.seen.value = seen.dataset.seen;
  window.htmx?.process(document.getElementById("step-after"));
};
