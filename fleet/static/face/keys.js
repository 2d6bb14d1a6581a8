// A list by keyboard: j k or arrows move, Enter opens, x selects, / goes to the filters, Escape closes.
// Works on any [data-keys] table; each row has one .row-open link. Everything also works without it.
(function () {
  "use strict";
  function table() { return document.querySelector("[data-keys]"); }
  function rows() { return table() ? Array.from(table().querySelectorAll("tr[data-row]")) : []; }
  function here() { return table() && table().querySelector("tr.is-here"); }
  function goTo(row) {
    if (!row) return;
    var before = here();
    if (before) before.classList.remove("is-here");
    row.classList.add("is-here");
    var link = row.querySelector(".row-open");
    if (link) link.focus({ preventScroll: true });
    row.scrollIntoView({ block: "nearest" });
  }
  function move(step) {
    var all = rows(), at = all.indexOf(here());
    goTo(all[Math.max(0, Math.min(all.length - 1, at + step))]);
  }
  function opened(row) {
    var next = row.nextElementSibling;
    return next && next.classList.contains("why-row") ? next : null;
  }
  function close(row) {
    var why = opened(row), link = row.querySelector(".row-open");
    if (why) why.remove();
    row.classList.remove("is-open");
    if (link) link.setAttribute("aria-expanded", "false");
  }
  function pick(row) {
    var box = row && row.querySelector("input[type=checkbox]");
    if (box) box.click();
  }
  function count() {
    var out = document.getElementById("picked");
    if (!out) return;
    var picked = document.querySelectorAll("[data-keys] input[type=checkbox][name]:checked").length;
    out.textContent = picked ? picked + " selected" : "";
  }
  // On a hand's width the filters begin folded: the list is what was asked for.
  document.querySelectorAll(".filter-fold").forEach(function (fold) {
    if (matchMedia("(max-width: 720px)").matches) fold.open = false;
  });
  var acts = {
    j: function () { move(1); }, ArrowDown: function () { move(1); },
    k: function () { move(-1); }, ArrowUp: function () { move(-1); },
    x: function () { pick(here()); },
    Escape: function () { if (here()) close(here()); },
    "/": function () { var first = document.querySelector("[data-first-filter]"); if (first) { var fold = first.closest("details"); if (fold) fold.open = true; first.focus(); } }
  };
  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.metaKey || event.altKey || !table()) return;
    var inField = event.target.closest("input:not([type=checkbox]), select, textarea");
    if (inField) { if (event.key === "Escape") inField.blur(); return; }
    var act = acts[event.key];
    if (act) { event.preventDefault(); act(); }
  });
  document.addEventListener("focusin", function (event) {
    var row = event.target.closest("[data-keys] tr[data-row]");
    if (row && row !== here()) { if (here()) here().classList.remove("is-here"); row.classList.add("is-here"); }
  });
  document.addEventListener("change", function (event) {
    var box = event.target;
    if (box.matches("[data-pick-all]")) {
      document.querySelectorAll("[data-keys] input[type=checkbox][name]").forEach(function (each) {
        each.checked = box.checked;
        each.closest("tr").classList.toggle("is-chosen", box.checked);
      });
    } else if (box.matches("[data-keys] input[type=checkbox]")) {
      box.closest("tr").classList.toggle("is-chosen", box.checked);
    }
    count();
  });
  // Opening a row a second time closes it.
  document.addEventListener("htmx:beforeRequest", function (event) {
    var link = event.target.closest && event.target.closest(".row-open");
    if (!link) return;
    var row = link.closest("tr");
    if (opened(row)) { event.preventDefault(); close(row); }
  });
  document.addEventListener("htmx:afterSwap", function (event) {
    var asked = event.detail.requestConfig && event.detail.requestConfig.elt;
    if (asked && asked.matches && asked.matches(".row-open")) {
      asked.setAttribute("aria-expanded", "true");
      asked.closest("tr").classList.add("is-open");
    }
    count();
  });
  // The list could not be fetched: say so instead of standing still.
  ["htmx:responseError", "htmx:sendError"].forEach(function (name) {
    document.addEventListener(name, function () {
      var out = document.getElementById("list-fault");
      if (out) out.hidden = false;
    });
  });
})();
