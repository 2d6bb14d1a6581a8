// Entries on their way: each stays in this browser until the server has answered it, and is sent again by itself.
import { drop, keysOf, read, write } from "./kept-here.js";
import { say } from "./said.js";
import { show } from "./step-answer.js";
import { entryOf, isSameAct, pathOf } from "./step-entry.js";

const SHORTEST_WAIT = 3000; // ms
const LONGEST_WAIT = 30000;

const token = () => document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";

const ask = (entry) => {
  const body = new URLSearchParams(entry.fields);
  body.set("act_id", entry.act);
  body.set("seen", entry.seen);
  body.set("sender_at", entry.at);
  const headers = { "X-CSRFToken": token(), "X-Keep": "1" };
  return fetch(entry.url, { method: "POST", body, keepalive: true, credentials: "same-origin", headers });
};

const isSignedOut = (answer) => answer.redirected && pathOf(answer.url).startsWith("/sign-in");

const isStillIt = (key, entry) => (read(key)?.act ?? entry.act) === entry.act;

// The sender of a person's entries; store is what their names begin with, form the step of this page, or null.
export class Sender {
  #store;
  #form;
  #inFlight = new Set();
  #wait = SHORTEST_WAIT;
  #timer = null;

  constructor(store, form) {
    this.#store = store;
    this.#form = form;
  }

  keyOf(form) {
    return this.#store + pathOf(form.action);
  }

  // What the form says now, kept as an entry, under the key that is given back.
  note(form, submitter) {
    const key = this.keyOf(form);
    const before = read(key);
    const entry = entryOf(form, submitter);
    if (!before || !isSameAct(before, entry)) write(key, entry);
    return key;
  }

  // onDone gets the answer, once it was kept and the page shows it.
  submit(key, onDone) {
    const entry = read(key);
    if (!entry) return;
    entry.state = "sent";
    write(key, entry);
    this.#send(key, entry, onDone);
  }

  sendAll() {
    keysOf(this.#store).forEach((key) => {
      const entry = read(key);
      if (entry?.state === "sent") this.#send(key, entry);
    });
  }

  sendAtOnce() {
    this.#wait = SHORTEST_WAIT;
    this.sendAll();
  }

  async #send(key, entry, onDone) {
    if (this.#inFlight.has(entry.act)) return;
    this.#inFlight.add(entry.act);
    this.#sayHere(entry, "Being kept …");
    try {
      const answer = await ask(entry);
      this.#answered(key, entry, answer, await answer.text(), onDone);
    } catch {
      this.#failed(entry);
    }
    this.#inFlight.delete(entry.act);
  }

  #answered(key, entry, answer, html, onDone) {
    if (isSignedOut(answer)) {
      this.#sayHere(entry, "You are signed out. What you typed stays on this device: sign in again and it is sent.", "refused");
      return;
    }
    if (answer.status >= 500) {
      this.#failed(entry);
      return;
    }
    this.#wait = SHORTEST_WAIT;
    if (!isStillIt(key, entry)) return;
    if (answer.ok) drop(key);
    else write(key, { ...entry, state: "refused" });
    if (!this.#isHere(entry)) return;
    show(this.#form, html, answer);
    if (answer.ok) onDone?.(answer);
  }

  #failed(entry) {
    this.#sayHere(entry, "No answer yet. What you typed is kept on this device and is sent again by itself.", "waiting");
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.sendAll(), this.#wait);
    this.#wait = Math.min(this.#wait * 2, LONGEST_WAIT);
  }

  #isHere(entry) {
    return this.#form !== null && pathOf(this.#form.action) === pathOf(entry.url);
  }

  #sayHere(entry, words, mood) {
    if (this.#isHere(entry)) say(words, mood);
  }
}
