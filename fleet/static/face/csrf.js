// The token against forgery as the browser has it now: signing in, on any of its pages, makes a new one, and a page that
// was open before would send the old.
const COOKIE = "csrftoken=";
const fields = () => document.querySelectorAll("[name=csrfmiddlewaretoken]");

export const csrfToken = () => {
  const kept = document.cookie.split("; ").find((each) => each.startsWith(COOKIE));
  return kept?.slice(COOKIE.length) ?? fields()[0]?.value ?? "";
};

export const refreshTokens = () => {
  const token = csrfToken();
  fields().forEach((field) => {
    field.value = token;
  });
};

export const sendTokensOfNow = () => {
  document.addEventListener("submit", refreshTokens, true);
  document.addEventListener("htmx:configRequest", ({ detail }) => {
    refreshTokens();
    if (detail.verb === "get") return;
    detail.headers["X-CSRFToken"] = csrfToken();
    if (detail.parameters.csrfmiddlewaretoken) detail.parameters.csrfmiddlewaretoken = csrfToken();
  });
};
