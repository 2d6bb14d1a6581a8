// The password asked for over the page, which stays as it is: whoever was away too long goes on where they were.
// Without this script a form that is sent asks on a page of its own, and keeps what it had.
const template = document.getElementById("ask-again");

export const isSignedOut = (answer) => answer.status === 401 && answer.headers.has("X-Signed-Out");

const tokens = () => document.querySelectorAll("[name=csrfmiddlewaretoken]");

// Signing in makes a new token against forgery: the page's forms take it.
const takeToken = (token) => {
  tokens().forEach((field) => {
    field.value = token;
  });
  document.querySelectorAll("[hx-headers*=X-CSRFToken]").forEach((part) => {
    part.setAttribute("hx-headers", JSON.stringify({ ...JSON.parse(part.getAttribute("hx-headers")), "X-CSRFToken": token }));
  });
};

const signIn = async (form) => {
  const body = new URLSearchParams(new FormData(form));
  const headers = { "X-In-Place": "1", "X-CSRFToken": tokens()[0]?.value ?? "" };
  const answer = await fetch(form.action, { method: "POST", body, credentials: "same-origin", headers });
  if (answer.ok) return { token: (await answer.json()).csrf };
  if (answer.status === 422) return { fault: (await answer.json()).fault };
  if (answer.status === 429) return { fault: "Too many wrong passwords from here. Wait a quarter of an hour." };
  return { fault: `It cannot be asked now (${answer.status}). Load the page again; what you typed is kept where it can be.` };
};

const tried = async (form) => {
  try {
    return await signIn(form);
  } catch {
    return { fault: "No answer: there is no connection. Try again when there is." };
  }
};

const show = (done) => {
  const dialog = document.importNode(template.content, true).querySelector("dialog");
  const form = dialog.querySelector("form");
  const fault = dialog.querySelector(".field-error");
  document.body.append(dialog);
  dialog.addEventListener("cancel", (event) => event.preventDefault());
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const told = await tried(form);
    if (told.token) {
      takeToken(told.token);
      dialog.close();
      dialog.remove();
      done();
      return;
    }
    fault.textContent = told.fault;
    fault.hidden = false;
    form.elements.password.value = "";
    form.elements.password.focus();
  });
  dialog.showModal();
};

let asked = null;

// Fulfilled once the person of this page is signed in again; asked once, whoever asks.
export const askAgain = () => {
  if (!template) return Promise.reject(new Error("Nobody is signed in on this page."));
  asked ??= new Promise((done) => {
    show(() => {
      asked = null;
      window.dispatchEvent(new Event("signed-in-again"));
      done();
    });
  });
  return asked;
};
