// The button that goes from theme to theme: as the device has it, light, dark. The choice is kept in this browser.
const WORDS = { "": "As device", light: "Light", dark: "Dark" };
const ORDER = Object.keys(WORDS);

const worn = () => document.documentElement.dataset.theme ?? "";

const wear = (theme) => {
  if (theme) document.documentElement.dataset.theme = theme;
  else delete document.documentElement.dataset.theme;
};

const keep = (theme) => {
  try {
    localStorage.setItem("theme", theme);
  } catch {
    // It is worn on this page only.
  }
};

const say = (button) => {
  button.textContent = WORDS[worn()];
  button.setAttribute("aria-label", `Theme: ${WORDS[worn()]}`);
};

const button = document.getElementById("theme");
if (button) {
  say(button);
  button.hidden = false;
  button.addEventListener("click", () => {
    const next = ORDER[(ORDER.indexOf(worn()) + 1) % ORDER.length];
    keep(next);
    wear(next);
    say(button);
  });
}
