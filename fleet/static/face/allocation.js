// Needs by keyboard: J and K go to the next and the previous need, A, L and F press the buttons that bear
// these letters. Everything also works by links and buttons without it.
(function () {
  "use strict";
  function step(by) {
    var rows = Array.from(document.querySelectorAll("tr[data-need]"));
    var at = rows.findIndex(function (row) { return row.classList.contains("is-here"); });
    var row = rows[Math.max(0, Math.min(rows.length - 1, at + by))];
    var link = row && row.querySelector(".row-open");
    if (link && !row.classList.contains("is-here")) { location.assign(link.href); }
  }
  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) { return; }
    if (event.target.closest("input, select, textarea")) { return; }
    var key = event.key.toLowerCase();
    if (key === "j" || key === "k") { event.preventDefault(); step(key === "j" ? 1 : -1); return; }
    var button = document.querySelector("button[data-key='" + (/^[a-z]$/.test(key) ? key : "") + "']");
    if (button) { event.preventDefault(); button.click(); }
  });
  var here = document.querySelector("tr.is-here");
  if (here && matchMedia("(min-width: 1101px)").matches) { here.scrollIntoView({ block: "nearest" }); }
})();
