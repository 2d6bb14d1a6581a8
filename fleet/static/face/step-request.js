// One entry sent to the server.
import { csrfToken } from "./csrf.js";

export const ask = (entry) => {
  const body = new URLSearchParams(entry.fields);
  body.set("act_id", entry.act);
  body.set("seen", entry.seen);
  body.set("shown_at", entry.shown ?? "");
  body.set("sender_at", entry.at);
  const headers = { "X-CSRFToken": csrfToken(), "X-Keep": "1" };
  return fetch(entry.url, { method: "POST", body, keepalive: true, credentials: "same-origin", headers });
};
