// What a form says now, as an entry with an id of its own: the same entry sent twice is one act.
const HOUSE = new Set(["csrfmiddlewaretoken", "act_id", "seen", "shown_at", "sender_at", "go"]);

export const isOfTheHouse = (name) => HOUSE.has(name);

// Without a secure address a browser has no randomUUID.
const newId = () => {
  if (window.crypto?.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
};

export const fieldsOf = (form, submitter) => {
  const fields = {};
  new FormData(form).forEach((value, name) => {
    if (typeof value === "string" && !isOfTheHouse(name)) fields[name] = value;
  });
  if (submitter?.name && !isOfTheHouse(submitter.name)) fields[submitter.name] = submitter.value;
  return fields;
};

// A chosen unit or tool alone is no value.
export const isEmpty = (fields) =>
  !Object.entries(fields).some(([name, value]) => value && !/unit$|^tool$/.test(name));

export const entryOf = (form, submitter) => ({
  url: form.action,
  fields: fieldsOf(form, submitter),
  act: newId(),
  at: new Date().toISOString(),
  seen: form.elements.seen?.value ?? "",
  shown: form.elements.shown_at?.value ?? "",
  state: "typed",
});

// The same words again are the same act: a double tap, a second try.
export const isSameAct = (one, other) =>
  JSON.stringify(one.fields) === JSON.stringify(other.fields) && one.seen === other.seen;

export const pathOf = (url) => new URL(url, location.href).pathname;
