// One entry sent to the server, and whether it was the sign-in page that answered.
import { pathOf } from "./step-entry.js";

const token = () => document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";

export const ask = (entry) => {
  const body = new URLSearchParams(entry.fields);
  body.set("act_id", entry.act);
  body.set("seen", entry.seen);
  body.set("sender_at", entry.at);
  const headers = { "X-CSRFToken": token(), "X-Keep": "1" };
  return fetch(entry.url, { method: "POST", body, keepalive: true, credentials: "same-origin", headers });
};

export const isSignedOut = (answer) => answer.redirected && pathOf(answer.url).startsWith("/sign-in");
