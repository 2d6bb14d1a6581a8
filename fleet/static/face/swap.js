// A step's form on a phone with poor signal: every edit is sent as it is made, with an id of its own; until the
// server has answered it stays in this browser under the person's name, and is sent again. All of it also works by
// pressing the buttons without this script.
(function () {
  "use strict";
  var swap = document.querySelector("[data-swap]");
  if (!swap) return;
  var STORE = "greenband/" + swap.dataset.person + "/";
  var form = document.getElementById("step-form");
  var wait = 3000, timer = null, inFlight = {};

  function newId() {
    if (window.crypto && crypto.randomUUID) return crypto.randomUUID();
    var bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64; bytes[8] = (bytes[8] & 63) | 128;
    var hex = Array.from(bytes, function (b) { return ("0" + b.toString(16)).slice(-2); }).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  }
  function read(key) { try { return JSON.parse(localStorage.getItem(key)); } catch (error) { return null; } }
  function write(key, entry) { try { localStorage.setItem(key, JSON.stringify(entry)); } catch (error) { /* the page itself still has it */ } }
  function drop(key) { try { localStorage.removeItem(key); } catch (error) { /* nothing was kept */ } }
  function waiting() {
    var keys = [];
    try { keys = Object.keys(localStorage).filter(function (key) { return key.indexOf(STORE) === 0; }); } catch (error) { keys = []; }
    return keys;
  }
  function clock() { return new Date().toTimeString().slice(0, 5); }
  function say(words, mood) {
    var out = document.getElementById("kept");
    if (!out) return;
    out.textContent = words;
    out.className = "kept" + (mood ? " is-" + mood : "");
  }

  // --- what the form says now
  var HOUSE = { csrfmiddlewaretoken: 1, act_id: 1, seen: 1, sender_at: 1 };
  function fieldsOf(asked, submitter) {
    var fields = {};
    new FormData(asked).forEach(function (value, name) { if (typeof value === "string" && !HOUSE[name]) fields[name] = value; });
    if (submitter && submitter.name) fields[submitter.name] = submitter.value;
    return fields;
  }
  function entryOf(asked, submitter) {
    var seen = asked.elements.seen;
    return { url: asked.action, fields: fieldsOf(asked, submitter), act: newId(), at: new Date().toISOString(), seen: seen ? seen.value : "", state: "typed" };
  }
  function note(asked, submitter) {
    var key = STORE + new URL(asked.action).pathname, before = read(key), entry = entryOf(asked, submitter);
    // The same words again are the same act: a double tap, a second try.
    if (before && JSON.stringify(before.fields) === JSON.stringify(entry.fields) && before.seen === entry.seen) return key;
    write(key, entry);
    return key;
  }

  // --- sending
  function token() { var held = document.querySelector("[name=csrfmiddlewaretoken]"); return held ? held.value : ""; }
  function send(key, entry, onDone) {
    if (inFlight[entry.act]) return;
    inFlight[entry.act] = true;
    var body = new URLSearchParams(entry.fields);
    body.set("act_id", entry.act); body.set("seen", entry.seen); body.set("sender_at", entry.at);
    var isHere = form && new URL(form.action).pathname === new URL(entry.url, location.href).pathname;
    if (isHere) say("Being kept …", "");
    fetch(entry.url, { method: "POST", body: body, keepalive: true, credentials: "same-origin", headers: { "X-CSRFToken": token(), "X-Keep": "1" } })
      .then(function (answer) { return answer.text().then(function (html) { answered(key, entry, answer, html, isHere, onDone); }); })
      .catch(function () { failed(key, isHere); })
      .then(function () { delete inFlight[entry.act]; });
  }
  function isStill(key, entry) { var now = read(key); return !now || now.act === entry.act; }
  function answered(key, entry, answer, html, isHere, onDone) {
    if (answer.redirected && new URL(answer.url).pathname.indexOf("/sign-in") === 0) {
      if (isHere) say("You are signed out. What you typed stays on this device: sign in again and it is sent.", "refused");
      return;
    }
    if (answer.status >= 500) return failed(key, isHere);
    wait = 3000;
    if (answer.ok) { if (isStill(key, entry)) drop(key); }
    else if (isStill(key, entry)) { entry.state = "refused"; write(key, entry); }
    if (!isHere || !isStill(key, entry)) return;
    show(html, answer);
    if (answer.ok && onDone) onDone(answer);
  }
  function show(html, answer) {
    var told = new DOMParser().parseFromString(html, "text/html"), after = document.getElementById("step-after"), made = told.getElementById("step-after");
    ["#verdict", ".job-line", ".job-count"].forEach(function (name) {
      var old = document.querySelector(name), said = told.querySelector(name);
      if (old && said) old.replaceWith(document.importNode(said, true));
    });
    if (!after || !made) { say(answer.ok ? "Kept " + clock() : "It could not be kept (" + answer.status + "). It stays on this device.", answer.ok ? "" : "refused"); return; }
    after.replaceWith(document.importNode(made, true));
    var seen = document.querySelector("#step-after [data-seen]");
    if (form && seen && answer.ok) form.elements.seen.value = seen.dataset.seen;
    if (window.htmx) window.htmx.process(document.getElementById("step-after"));
  }
  function failed(key, isHere) {
    if (isHere) say("No answer yet. What you typed is kept on this device and is sent again by itself.", "waiting");
    clearTimeout(timer);
    timer = setTimeout(sendAll, wait);
    wait = Math.min(wait * 2, 30000);
  }
  function sendAll() {
    waiting().forEach(function (key) { var entry = read(key); if (entry && entry.state === "sent") send(key, entry); });
  }
  function submit(key, onDone) {
    var entry = read(key);
    if (!entry) return;
    entry.state = "sent"; write(key, entry);
    send(key, entry, onDone);
  }

  // --- the form of this page
  function put(fields) {
    Object.keys(fields).forEach(function (name) {
      var field = form.elements[name];
      if (field && field.tagName && field.type !== "submit" && field.type !== "hidden") field.value = fields[name];
    });
  }
  function isEmpty(fields) { return !Object.keys(fields).some(function (name) { return fields[name] && !/unit$|^tool$/.test(name); }); }
  if (form) {
    var here = STORE + new URL(form.action).pathname, left = read(here);
    if (left && left.state !== "sent" && !isEmpty(left.fields)) {
      put(left.fields);
      say("Typed here before and not kept yet.", "waiting");
      if (window.htmx) window.htmx.trigger(form, "judge");
    } else if (left && left.state === "sent") { put(left.fields); }
    form.addEventListener("input", function () { if (!isEmpty(fieldsOf(form))) write(note(form), Object.assign(read(note(form)) || entryOf(form), { state: "typed" })); });
    form.addEventListener("change", function (event) {
      if (event.target.type === "file" || isEmpty(fieldsOf(form)) || form.dataset.step === "whole") return;
      submit(note(form));
    });
    form.addEventListener("submit", function (event) {
      if (form.dataset.step === "plain") return;
      event.preventDefault();
      var submitter = event.submitter;
      submit(note(form, submitter), function (answer) {
        var next = answer.headers.get("X-Next");
        if (next && submitter) location.assign(next);
        // Answered in another unit, or over another's entry: the form is read anew.
        else if (submitter && /instead$|confirmed$|^over$/.test(submitter.name)) location.assign(form.action);
      });
    });
    document.addEventListener("click", function (event) {
      // Buttons of the answer stand outside the form and belong to it by name.
      var step = event.target.closest("[data-count]");
      if (!step) return;
      var field = form.elements.count, count = parseInt(field.value, 10);
      field.value = Math.max(0, (isNaN(count) ? 0 : count) + Number(step.dataset.count));
      field.dispatchEvent(new Event("input", { bubbles: true }));
      clearTimeout(form.settling);
      form.settling = setTimeout(function () { field.dispatchEvent(new Event("change", { bubbles: true })); }, 900);
    });
    document.querySelectorAll("[data-count]").forEach(function (button) { button.hidden = false; });
    window.addEventListener("pagehide", function () { var entry = read(here); if (entry && entry.state === "typed" && !isEmpty(entry.fields) && form.dataset.step === "each") submit(here); });
  }
  // --- a longer form: what was filled in is there again after a closed tab, until it was sent and taken
  var DRAFTS = "greenband-draft/" + swap.dataset.person + "/", long = document.querySelector("form[data-draft]");
  function draftFields() {
    var fields = {};
    Array.from(long.elements).forEach(function (field) {
      if (!field.name || HOUSE[field.name] || /password|hidden|submit|button|file/.test(field.type) || (field.type === "radio" && !field.checked)) return;
      fields[field.name] = field.type === "checkbox" ? field.checked : field.value;
    });
    return fields;
  }
  try {
    Object.keys(localStorage).forEach(function (key) {
      // Sent, and the answer led elsewhere: it was taken.
      if (key.indexOf(DRAFTS) === 0 && key !== DRAFTS + location.pathname && (read(key) || {}).isSent) drop(key);
    });
  } catch (error) { /* nothing is kept here */ }
  if (long) {
    var draft = read(DRAFTS + location.pathname);
    if (draft && !document.querySelector(".field-error, .notice.error")) Object.keys(draft.fields).forEach(function (name) {
      var field = long.elements[name];
      if (field && name !== "happened_at") field.value = draft.fields[name];
    });
    var keepDraft = function (isSent) { write(DRAFTS + location.pathname, { fields: draftFields(), isSent: isSent === true }); };
    long.addEventListener("input", keepDraft);
    long.addEventListener("submit", function () { keepDraft(true); });
  }
  sendAll();
  window.addEventListener("online", function () { wait = 3000; sendAll(); });

  // --- a swipe goes on or back
  var from = null;
  document.addEventListener("touchstart", function (event) {
    var touch = event.touches[0];
    from = event.touches.length === 1 && !event.target.closest("input, select, textarea, .side-ways, .top nav, .scroll") ? { x: touch.clientX, y: touch.clientY } : null;
  }, { passive: true });
  document.addEventListener("touchend", function (event) {
    if (!from) return;
    var touch = event.changedTouches[0], dx = touch.clientX - from.x, dy = touch.clientY - from.y;
    from = null;
    if (Math.abs(dx) < 80 || Math.abs(dy) > 50) return;
    var link = document.querySelector(dx < 0 ? ".bar a[rel=next]" : ".bar a[rel=prev]");
    if (link) location.assign(link.href);
  }, { passive: true });
})();
