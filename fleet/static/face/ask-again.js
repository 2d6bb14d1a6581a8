// The password asked for over the page, which stays as it is: whoever was away too long goes on where they were.
// Without this script a form that is sent asks on a page of its own, and keeps what it had.
import { csrfToken } from "./csrf.js";

const template = document.getElementById("ask-again");

export const isSignedOut = (answer) => answer.status === 401 && answer.headers.has("X-Signed-Out");

const signIn = async (form) => {
  const body = new URLSearchParams(new FormData(form));
  const headers = { "X-In-Place": "1", "X-CSRFToken": csrfToken() };
  const answer = await fetch(form.action, { method: "POST", body, credentials: "same-origin", headers });
  if (answer.ok) return "";
  if (answer.status === 422) return (await answer.json()).fault;
  if (answer.status === 429) return "Too many wrong passwords from here. Wait a quarter of an hour.";
  return `It cannot be asked now (${answer.status}). Try again in a minute.`;
};

const tried = async (form) => {
  try {
    return await signIn(form);
  } catch {
    return "No answer: there is no connection. Try again when there is.";
  }
};

// Another page of this browser, of the same person, was asked and answered.
const AGAIN = "greenband-again";

const tellOtherPages = (name) => {
  try {
    localStorage.setItem(AGAIN, `${name} ${Date.now()}`);
  } catch {
    // Each page asks for itself.
  }
};

const whenToldByAnother = (name, done) => {
  const hear = ({ key, newValue }) => {
    if (key !== AGAIN || !newValue?.startsWith(`${name} `)) return;
    removeEventListener("storage", hear);
    done();
  };
  addEventListener("storage", hear);
};

const show = (done) => {
  const dialog = document.importNode(template.content, true).querySelector("dialog");
  const form = dialog.querySelector("form");
  const fault = dialog.querySelector(".field-error");
  const name = form.elements.username.value;
  const close = () => {
    dialog.close(); // gives the focus back to where it was
    dialog.remove();
    done();
  };
  document.body.append(dialog);
  dialog.addEventListener("cancel", (event) => event.preventDefault());
  whenToldByAnother(name, close);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const told = await tried(form);
    if (!told) {
      tellOtherPages(name);
      close();
      return;
    }
    fault.textContent = told;
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
      if (!asked) return;
      asked = null;
      window.dispatchEvent(new Event("signed-in-again"));
      done();
    });
  });
  return asked;
};
