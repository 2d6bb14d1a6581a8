// The pages of a swap in a browser. What is typed is kept under the person's name until the server has it.
// All of it also works by pressing the buttons without this script.
import { keepDrafts } from "./drafts.js";
import { countByButtons } from "./step-counter.js";
import { keepEveryEdit } from "./step-form.js";
import { Sender } from "./step-sender.js";
import { showPhoto } from "./step-photo.js";
import { goBySwipes } from "./swipe.js";

const begin = (person) => {
  const form = document.getElementById("step-form");
  const sender = new Sender(`greenband/${person}/`, form);
  if (form) {
    keepEveryEdit(form, sender);
    countByButtons(form);
    showPhoto(form);
  }
  keepDrafts(person);
  sender.sendAll();
  window.addEventListener("online", () => sender.sendAtOnce());
  window.addEventListener("signed-in-again", () => sender.sendAtOnce());
  goBySwipes();
};

const swap = document.querySelector("[data-swap]");
if (swap) begin(swap.dataset.person);
