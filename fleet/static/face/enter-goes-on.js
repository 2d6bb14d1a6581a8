// Enter in a field of a form that records something sends nothing: it goes to the next field, and at last to the
// button. A slow scanner types no faster than a person does, and its Enter would record half a form.
const FIELDS = "input:not([type=hidden]), select, textarea, button:not([type=button])";

// When Enter went on by itself: a second Enter at once, which some scanners send, presses nothing.
let wentOn = Number.NEGATIVE_INFINITY;
const TWICE = 400;

export const stop = (event) => {
  event.preventDefault();
  event.stopPropagation();
};

const goOn = (field) => {
  const all = Array.from(field.form.querySelectorAll(FIELDS)).filter((each) => !each.disabled && each.offsetParent);
  (all[all.indexOf(field) + 1] ?? field).focus();
};

export const onEnterInField = (event) => {
  const field = event.target;
  if (event.key !== "Enter" || event.isComposing) return;
  if (!field.matches("form[method=post] input:not([name=code], [type=password], [type=submit], [type=button])")) return;
  stop(event);
  wentOn = event.timeStamp;
  goOn(field);
};

// Asked of every key: any other one in between makes the next Enter a first one.
export const isSecondEnter = (event) => {
  const isSecond = event.key === "Enter" && event.timeStamp - wentOn < TWICE;
  wentOn = Number.NEGATIVE_INFINITY;
  return isSecond;
};
