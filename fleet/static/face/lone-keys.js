// A scanner is a keyboard that types fast: what comes in a burst is a scan, and goes to where scans are read,
// whatever page is open and wherever the focus is. A key that no other follows at once is a person's, and is let be.
// In a field of text a scan is that field's, and the Enter behind it goes on.
import { isSecondEnter, onEnterInField, stop } from "./enter-goes-on.js";

const BURST = 50; // ms between two keys of a scanner, at most
const LONE = 70; // ms after which a key was a person's
const LEAST = 4; // characters that make a scan
const CONTROLS = { "]": "\x1d", "^": "\x1e", 6: "\x1e", d: "\x04", D: "\x04" };

let typed = "";
let last = 0;
let timer = null;

// A list of choices, which the first character of a scan has moved already: what was chosen before.
let chosen = null;

const isField = (target) => Boolean(target.closest?.("input:not([type=checkbox], [type=radio]), textarea"));

const keepChoice = (target) => {
  chosen = target.matches?.("select") ? { list: target, at: target.selectedIndex } : null;
};

const giveBack = () => {
  if (chosen && chosen.list.selectedIndex !== chosen.at) {
    chosen.list.selectedIndex = chosen.at;
    chosen.list.dispatchEvent(new Event("change", { bubbles: true }));
  }
  chosen = null;
};

const charOf = (event) => {
  if (event.altKey || event.metaKey) return "";
  if (event.ctrlKey) return typed ? (CONTROLS[event.key] ?? "") : "";
  return event.key.length === 1 ? event.key : "";
};

const send = (code) => {
  const field = document.querySelector("form[role=search] input[name=code], input[name=code]");
  const scans = document.querySelector("meta[name=scans]")?.content;
  if (field) {
    field.value = code;
    field.form.requestSubmit();
  } else if (scans) {
    location.assign(`${scans}?code=${encodeURIComponent(code)}`);
  }
};

const settle = () => {
  typed = "";
};

const take = (event, char) => {
  if (!typed) keepChoice(event.target);
  else giveBack();
  typed += char;
  last = event.timeStamp;
  clearTimeout(timer);
  timer = setTimeout(settle, LONE);
  if (typed.length > 1) event.preventDefault();
};

const takeScan = (event) => {
  event.preventDefault();
  event.stopPropagation();
  clearTimeout(timer);
  const code = typed;
  typed = "";
  send(code);
};

// A letter, then at once an arrow or Enter: a quick person's.
const takeOther = (event) => {
  if (typed.length !== 1 || event.key.length === 1 || event.key === "Shift") return;
  clearTimeout(timer);
  settle();
};

const onKey = (event) => {
  if (isField(event.target)) {
    onEnterInField(event);
    return;
  }
  if (event.timeStamp - last > BURST && typed.length > 1) typed = "";
  const char = charOf(event);
  if (char) take(event, char);
  else if (event.key === "Enter" && typed.length >= LEAST) takeScan(event);
  else takeOther(event);
};

const onAnyKey = (event) => {
  if (event.repeat) return;
  if (isSecondEnter(event)) stop(event);
  else onKey(event);
};

export const hearScans = () => document.addEventListener("keydown", onAnyKey, { capture: true });
