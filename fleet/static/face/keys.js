// Whether this browser uses the keys of lists: all can be switched off, on the page that lists them.
const NAME = "keys";

export const isOn = () => {
  try {
    return localStorage.getItem(NAME) !== "off";
  } catch {
    return true;
  }
};

// Alt alone with a letter: which letter.
export const altLetter = (event) => {
  if (!event.altKey || event.ctrlKey || event.metaKey || event.repeat || !isOn()) return "";
  return /^Key([A-Z])$/.exec(event.code)?.[1].toLowerCase() ?? "";
};

export const offerSwitch = () => {
  const box = document.querySelector("[data-keys-switch]");
  if (!box) return;
  box.checked = isOn();
  box.closest("[hidden]")?.removeAttribute("hidden");
  box.addEventListener("change", () => {
    try {
      localStorage.setItem(NAME, box.checked ? "on" : "off");
    } catch {
      box.checked = true;
    }
  });
};
