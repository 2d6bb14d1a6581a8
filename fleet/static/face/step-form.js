// A step's form on a phone with poor signal: every edit is sent as it is made, and what was typed before the page
// went away is there again. All of it also works by pressing the buttons without this.
import { read, write } from "./kept-here.js";
import { say } from "./said.js";
import { entryOf, fieldsOf, isEmpty } from "./step-entry.js";

const put = (form, fields) => {
  Object.entries(fields).forEach(([name, value]) => {
    const field = form.elements[name];
    if (field?.tagName && field.type !== "submit" && field.type !== "hidden") field.value = value;
  });
};

const putBack = (form, key) => {
  const left = read(key);
  if (left?.state === "sent") {
    put(form, left.fields);
  } else if (left && !isEmpty(left.fields)) {
    put(form, left.fields);
    say("Typed here before and not kept yet.", "waiting");
    window.htmx?.trigger(form, "judge");
  }
};

// Answered in another unit, or over another's entry: the form is read anew.
const isReadAnew = (submitter) => /instead$|confirmed$|^over$/.test(submitter.name);

// The one green button: keeps what is typed and goes on, once it is kept and in range.
const isGo = (submitter) => submitter?.name === "go";
const isInRange = () => document.querySelector("#verdict")?.matches(".is-in, .is-none, .is-") ?? true;
const said = (form) => JSON.stringify(fieldsOf(form));

const goOn = (form, submitter) => (answer) => {
  form.dataset.kept = said(form);
  if (!submitter) return;
  if (isGo(submitter)) {
    if (isInRange()) location.assign(submitter.dataset.next);
    return;
  }
  const next = answer.headers.get("X-Next");
  if (next) location.assign(next);
  else if (isReadAnew(submitter)) location.assign(form.action);
};

export const keepEveryEdit = (form, sender) => {
  const here = sender.keyOf(form);
  putBack(form, here);
  form.addEventListener("input", () => {
    if (isEmpty(fieldsOf(form))) return;
    const key = sender.note(form);
    write(key, { ...(read(key) ?? entryOf(form)), state: "typed" });
  });
  form.addEventListener("change", (event) => {
    if (event.target.type === "file" || isEmpty(fieldsOf(form)) || form.dataset.step === "whole") return;
    sender.submit(sender.note(form), goOn(form));
  });
  form.addEventListener("submit", (event) => {
    if (form.dataset.step === "plain") return;
    event.preventDefault();
    const isNothingNew = isEmpty(fieldsOf(form)) || form.dataset.kept === said(form);
    if (isGo(event.submitter) && isNothingNew && isInRange()) location.assign(event.submitter.dataset.next);
    else sender.submit(sender.note(form, event.submitter), goOn(form, event.submitter));
  });
  // What is said of a value while it is typed comes too late once the value was sent: its answer stands.
  form.addEventListener("htmx:beforeSwap", (event) => {
    if (event.detail.target.id !== "verdict" || isEmpty(fieldsOf(form))) return;
    if (read(here)?.state !== "typed") event.detail.shouldSwap = false;
  });
  window.addEventListener("pagehide", () => {
    const entry = read(here);
    if (entry?.state === "typed" && !isEmpty(entry.fields) && form.dataset.step === "each") sender.submitLeaving(here);
  });
};
