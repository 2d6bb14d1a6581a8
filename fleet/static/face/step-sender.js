// Entries on their way: each stays in this browser until the server has answered it, and is sent again by itself.
import { askAgain, isSignedOut } from "./ask-again.js";
import { drop, isStillIt, keysOf, read, write } from "./kept-here.js";
import { say } from "./said.js";
import { show } from "./step-answer.js";
import { entryOf, isSameAct, pathOf } from "./step-entry.js";
import { ask } from "./step-request.js";

const SHORTEST_WAIT = 3000; // ms
const LONGEST_WAIT = 30000;
const SIGNED_OUT = "You are signed out. What you typed stays on this device: sign in again and it is sent.";

// The sender of a person's entries; store is what their names begin with, form the step of this page, or null.
// Of one step one entry is on its way at a time: the net may deliver two in either order, and the last counts.
export class Sender {
  #store;
  #form;
  #onItsWay = new Map(); // key -> act
  #afterwards = new Map(); // act -> what its button wants done with the answer
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
    if (onDone) this.#afterwards.set(entry.act, onDone);
    this.#send(key, entry);
  }

  // The page goes away: what waits for an answer to an earlier entry can wait no longer.
  submitLeaving(key) {
    this.#onItsWay.delete(key);
    this.submit(key);
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

  async #send(key, entry) {
    this.#sayHere(entry, "Being kept …");
    if (this.#onItsWay.has(key)) return;
    this.#onItsWay.set(key, entry.act);
    try {
      const answer = await ask(entry);
      this.#answered(key, entry, answer, await answer.text());
    } catch {
      this.#failed(entry);
    }
    if (this.#onItsWay.get(key) === entry.act) this.#onItsWay.delete(key);
    this.#sendNext(key, entry);
  }

  // What was typed while the earlier entry was on its way.
  #sendNext(key, before) {
    const next = read(key);
    if (next?.state === "sent" && next.act !== before.act) this.#send(key, next);
  }

  #answered(key, entry, answer, html) {
    if (isSignedOut(answer)) {
      this.#sayHere(entry, SIGNED_OUT, "refused");
      askAgain(); // then all that waits is sent
      return;
    }
    if (answer.status >= 500) return void this.#failed(entry);
    this.#wait = SHORTEST_WAIT;
    if (!isStillIt(key, entry)) return;
    if (answer.ok) drop(key);
    else write(key, { ...entry, state: "refused" });
    if (!this.#isHere(entry)) return;
    show(this.#form, html, answer);
    if (answer.ok) this.#afterwards.get(entry.act)?.(answer);
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
