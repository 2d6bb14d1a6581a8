// A page that nobody touched for long is covered, and what an answer says of being signed out is asked in place.
import { askAgain } from "./ask-again.js";
import { sendTokensOfNow } from "./csrf.js";

const template = document.getElementById("ask-again");
const idle = Number(template?.dataset.idle ?? 0) * 60_000; // ms; 0: never
const TOUCHES = ["pointerdown", "keydown", "wheel", "touchmove"];
const LOOK = 5_000; // ms
const SEEN = "greenband-seen";

let seenHere = Date.now();

// Other pages of this browser count too: where the browser keeps nothing, this page alone.
const note = () => {
  try {
    localStorage.setItem(SEEN, String(Date.now()));
  } catch {
    seenHere = Date.now();
  }
};

const lastSeen = () => {
  try {
    return Math.max(seenHere, Number(localStorage.getItem(SEEN) ?? 0));
  } catch {
    return seenHere;
  }
};

// Done again as it was asked for: the click, the change.
const askedAgain = (event) => {
  const { elt, requestConfig } = event.detail;
  const by = requestConfig?.triggeringEvent?.type;
  if (by && elt.isConnected) window.htmx.trigger(elt, by);
};

if (template) {
  sendTokensOfNow();
  note();
  TOUCHES.forEach((name) => addEventListener(name, note, { passive: true }));
  addEventListener("signed-in-again", note);
  if (idle) {
    setInterval(() => {
      if (Date.now() - lastSeen() >= idle) askAgain();
    }, LOOK);
  }
  document.addEventListener("htmx:responseError", async (event) => {
    if (event.detail.xhr.status !== 401) return;
    await askAgain();
    askedAgain(event);
  });
}
