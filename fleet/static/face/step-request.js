// One entry sent to the server.
const token = () => document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";

export const ask = (entry) => {
  const body = new URLSearchParams(entry.fields);
  body.set("act_id", entry.act);
  body.set("seen", entry.seen);
  body.set("sender_at", entry.at);
  const headers = { "X-CSRFToken": token(), "X-Keep": "1" };
  return fetch(entry.url, { method: "POST", body, keepalive: true, credentials: "same-origin", headers });
};
