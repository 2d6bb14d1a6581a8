// A check on the fleet's line is tried on other days: dragged, or by Shift and an arrow key. Nothing is saved here: the
// days are sent to the page that moves the check, which shows first what that changes.
import { csrfToken } from "./csrf.js";

const DAY = 86_400_000;
const BY_KEY = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -7, ArrowDown: 7 };
const LEAST = 4;
const NAMES = ["name", "station", "slot", "people"];

const after = (day, days) => new Date(Date.parse(day) + days * DAY).toISOString().slice(0, 10);
const AS_READ = { weekday: "short", day: "numeric", month: "short", year: "numeric" };
const words = (day) =>
  new Date(day).toLocaleDateString("en-GB", { timeZone: "UTC", ...AS_READ }).replace(",", "");
const byDays = (days) =>
  `${Math.abs(days)} day${Math.abs(days) === 1 ? "" : "s"} ${days > 0 ? "later" : "earlier"}`;

const line = document.querySelector(".plan-line > svg");
const form = document.querySelector("[data-plan-move]");

// By how many days the check at hand was moved.
let moved = { check: null, days: 0 };

const pixelsADay = () => line.getBoundingClientRect().width / Number(line.dataset.days);

const place = (check, days) =>
  check.querySelectorAll(":scope > rect, :scope > svg").forEach((part) => {
    part.style.transform = days ? `translateX(${days * pixelsADay()}px)` : "";
  });

const say = () => {
  const { check, days } = moved;
  const said = check && days;
  form.querySelector("[role=status]").textContent = said
    ? `${check.dataset.name}: ${words(after(check.dataset.starts, days))} to ` +
      `${words(after(check.dataset.ends, days))}, ${byDays(days)}. Not saved.`
    : "";
  form.querySelector(".plan-moving-acts").hidden = !said;
};

const moveTo = (check, days) => {
  if (moved.check && moved.check !== check) place(moved.check, 0);
  moved = { check, days };
  place(check, days);
  say();
};

const leave = () => moved.check && moveTo(moved.check, 0);

const send = () => {
  const { check, days } = moved;
  if (!check || !days) return false;
  form.action = check.dataset.move;
  form.elements.csrfmiddlewaretoken.value = csrfToken();
  form.elements.starts_on.value = after(check.dataset.starts, days);
  form.elements.ends_on.value = after(check.dataset.ends, days);
  NAMES.forEach((name) => {
    form.elements[name].value = check.dataset[name];
  });
  return true;
};

const dragged = (check, { clientX: from, pointerId }) => {
  let isDragged = false;
  const days = ({ clientX }) => Math.round((clientX - from) / pixelsADay());
  const follow = (event) => {
    isDragged ||= Math.abs(event.clientX - from) >= LEAST;
    if (isDragged) moveTo(check, days(event));
  };
  const end = (event) => {
    check.removeEventListener("pointermove", follow);
    if (event.type === "pointercancel") leave();
    // The link is not followed where its check was dragged.
    if (isDragged)
      check.addEventListener("click", (click) => click.preventDefault(), { once: true });
  };
  check.setPointerCapture(pointerId);
  check.addEventListener("pointermove", follow);
  check.addEventListener("pointerup", end, { once: true });
  check.addEventListener("pointercancel", end, { once: true });
};

const checkOf = ({ target }) => target.closest?.("a[data-move]");

const keys = {
  Escape: leave,
  Enter: (event) => {
    if (!moved.days) return;
    event.preventDefault();
    form.requestSubmit(form.querySelector("[name=show]"));
  },
};

const pressed = (event, check) => {
  const days = moved.check === check ? moved.days : 0;
  if (event.shiftKey && BY_KEY[event.key]) {
    event.preventDefault();
    moveTo(check, days + BY_KEY[event.key]);
  } else if (moved.check === check) keys[event.key]?.(event);
};

const listen = () => {
  form.hidden = false;
  line.addEventListener("dragstart", (event) => event.preventDefault());
  line.addEventListener("pointerdown", (event) => {
    const check = checkOf(event);
    // A finger scrolls the line: it opens the check, and moves it there.
    if (check && event.button === 0 && event.pointerType !== "touch") dragged(check, event);
  });
  line.addEventListener("keydown", (event) => {
    const check = checkOf(event);
    if (check) pressed(event, check);
  });
  form.addEventListener("submit", (event) => {
    if (!send()) event.preventDefault();
  });
  form.querySelector("[type=button]").addEventListener("click", leave);
};

if (line && form) listen();
