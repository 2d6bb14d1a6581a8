// Beside a field of a day, the browser's own calendar. It writes the day in words, whatever the browser's language;
// typing does the same without it.
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

// "2027-03-03T14:05" or "2027-03-03" in words.
const inWords = (picked) => {
  const [day, time] = picked.split("T");
  const [year, month, date] = day.split("-").map(Number);
  return [`${date} ${MONTHS[month - 1]} ${year}`, time].filter(Boolean).join(" ");
};

// Where the calendar opens: at the day that is typed, if it reads as one.
const typedDay = (text) => {
  const [, date, word, year, time] = text.match(/^(\d{1,2}) (\w{3}) (\d{4})(?: (\d\d:\d\d))?$/) ?? [];
  const month = MONTHS.indexOf(word) + 1;
  if (!month) return "";
  const day = `${year}-${String(month).padStart(2, "0")}-${date.padStart(2, "0")}`;
  return time ? `${day}T${time}` : day;
};

const KINDS = { day: "date" }; // what the browser calls its calendar; any other is called as the field says

const calendar = (field) => {
  const picker = document.createElement("input");
  picker.type = KINDS[field.dataset.day] ?? field.dataset.day;
  picker.tabIndex = -1;
  picker.setAttribute("aria-hidden", "true");
  picker.addEventListener("change", () => {
    if (!picker.value) return;
    field.value = inWords(picker.value);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.dispatchEvent(new Event("change", { bubbles: true }));
    field.focus();
  });
  return picker;
};

const nameOf = (field) => field.labels?.[0]?.textContent.trim() || field.getAttribute("aria-label") || "the day";

const give = (field) => {
  const around = document.createElement("span");
  around.className = "day-field";
  field.replaceWith(around);
  const picker = calendar(field);
  const button = document.createElement("button");
  button.type = "button";
  button.className = "day-button";
  button.setAttribute("aria-label", `Calendar for ${nameOf(field)}`);
  button.addEventListener("click", () => {
    picker.value = typedDay(field.value);
    picker.showPicker();
  });
  around.append(field, picker, button);
};

const giveAll = () => document.querySelectorAll("input[data-day]").forEach((field) => {
  if (!field.closest(".day-field") && field.type !== "hidden") give(field);
});

export const pickDays = () => {
  giveAll();
  document.addEventListener("htmx:afterSettle", giveAll);
};
