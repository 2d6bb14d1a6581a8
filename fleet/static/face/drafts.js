// A longer form: what was filled in is there again after a closed tab, until it was sent and taken.
import { drop, keysOf, read, write } from "./kept-here.js";
import { isOfTheHouse } from "./step-entry.js";

const isKept = (field) =>
  field.name &&
  !isOfTheHouse(field.name) &&
  !/password|hidden|submit|button|file/.test(field.type) &&
  (field.type !== "radio" || field.checked);

const fieldsOf = (form) =>
  Object.fromEntries(
    Array.from(form.elements)
      .filter(isKept)
      .map((field) => [field.name, field.type === "checkbox" ? field.checked : field.value]),
  );

// When it happened is asked anew: the form has today's.
const putBack = (form, fields) => {
  Object.entries(fields).forEach(([name, value]) => {
    const field = form.elements[name];
    if (field && name !== "happened_at") field.value = value;
  });
};

// Sent, and the answer led elsewhere: it was taken.
const dropTaken = (prefix, own) => {
  keysOf(prefix).forEach((key) => {
    if (key !== own && read(key)?.isSent) drop(key);
  });
};

export const keepDrafts = (person) => {
  const prefix = `greenband-draft/${person}/`;
  const own = prefix + location.pathname;
  dropTaken(prefix, own);
  const form = document.querySelector("form[data-draft]");
  if (!form) return;
  const draft = read(own);
  if (draft && !document.querySelector(".field-error, .notice.error")) putBack(form, draft.fields);
  const keep = (isSent) => write(own, { fields: fieldsOf(form), isSent });
  form.addEventListener("input", () => keep(false));
  form.addEventListener("submit", () => keep(true));
};
