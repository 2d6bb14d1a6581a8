// Light, dark, or as the device has it. Loaded before the page is drawn, so that it never flashes.
(function () {
  "use strict";
  var kept = null;
  try { kept = localStorage.getItem("theme"); } catch (error) { kept = null; }
  function wear(theme) {
    if (theme) document.documentElement.setAttribute("data-theme", theme);
    else document.documentElement.removeAttribute("data-theme");
  }
  wear(kept);
  document.addEventListener("DOMContentLoaded", function () {
    var button = document.getElementById("theme");
    if (!button) return;
    var order = ["", "light", "dark"];
    var words = { "": "As device", light: "Light", dark: "Dark" };
    function say() {
      button.textContent = words[kept || ""];
      button.setAttribute("aria-label", "Theme: " + words[kept || ""]);
    }
    say();
    button.hidden = false;
    button.addEventListener("click", function () {
      kept = order[(order.indexOf(kept || "") + 1) % order.length];
      try { localStorage.setItem("theme", kept); } catch (error) { /* kept for this page only */ }
      wear(kept);
      say();
    });
  });
})();
