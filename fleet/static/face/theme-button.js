// The button that goes from theme to theme: as the device has it, light, dark. The choice is kept in this browser.
const WORDS = { "": "device", light: "light", dark: "dark" };
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

const buttons = document.querySelectorAll("[data-theme-button]");

const say = () => {
  buttons.forEach((button) => {
    button.textContent = "Theme";
    button.setAttribute("aria-label", `Theme: ${WORDS[worn()]}`);
    button.title = `Theme: ${WORDS[worn()]}`;
    button.hidden = false;
  });
};

const next = () => {
  const theme = ORDER[(ORDER.indexOf(worn()) + 1) % ORDER.length];
  keep(theme);
  wear(theme);
  say();
};

buttons.forEach((button) => button.addEventListener("click", next));
say();
