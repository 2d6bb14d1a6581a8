// The rows that are ticked: marked, counted beside the exports, all of a page at once; and kept from page to page
// until they are cleared or the tab is closed.
const BOXES = "[data-keys] input[type=checkbox][name]";

const boxes = () => Array.from(document.querySelectorAll(BOXES));
const form = () => document.querySelector("form[data-picks]");
const place = () => `picks ${form()?.dataset.picks}`;

let picked = new Set();

const read = () => {
  try {
    return new Set(JSON.parse(sessionStorage.getItem(place()) ?? "[]"));
  } catch {
    return new Set();
  }
};

const keep = () => {
  try {
    sessionStorage.setItem(place(), JSON.stringify([...picked]));
  } catch {
    // They are kept on this page only.
  }
};

const elsewhere = () => {
  const here = new Set(boxes().map((box) => box.value));
  return [...picked].filter((id) => !here.has(id));
};

const show = () => {
  boxes().forEach((box) => {
    box.checked = picked.has(box.value);
    box.closest("tr").classList.toggle("is-chosen", box.checked);
  });
  const out = document.getElementById("picked");
  if (!out) return;
  const away = elsewhere().length;
  const words = away ? `${picked.size} selected, ${away} of them on other pages` : `${picked.size} selected`;
  out.textContent = picked.size ? words : "";
  const clear = document.getElementById("unpick");
  if (clear) clear.hidden = !picked.size;
};

const take = (box) => (box.checked ? picked.add(box.value) : picked.delete(box.value));

const onChange = (event) => {
  const box = event.target;
  if (box.matches("[data-pick-all]")) {
    boxes().forEach((each) => {
      each.checked = box.checked;
      take(each);
    });
  } else if (box.matches(BOXES)) take(box);
  else return;
  keep();
  show();
};

const onClick = (event) => {
  if (event.target.id !== "unpick") return;
  picked = new Set();
  keep();
  show();
};

// What is selected on other pages goes along with what is sent.
const onSend = (event) => {
  if (!event.target.matches?.("form[data-picks]")) return;
  elsewhere().forEach((id) => event.formData.append("id", id));
};

const begin = () => {
  if (!form()) return;
  picked = read();
  show();
};

export const countPicks = () => {
  begin();
  document.addEventListener("change", onChange);
  document.addEventListener("click", onClick);
  document.addEventListener("formdata", onSend);
  document.addEventListener("htmx:afterSwap", (event) => {
    if (!event.detail.requestConfig?.elt?.matches?.(".row-open")) begin();
  });
};
