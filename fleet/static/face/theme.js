// Light, dark, or as the device has it. Not a module, since a module waits for the whole page: this runs before
// anything is drawn, so that nothing flashes.
{
  let theme = null;
  try {
    theme = localStorage.getItem("theme");
  } catch {
    // This browser keeps nothing: as the device has it.
  }
  if (theme) document.documentElement.dataset.theme = theme;
}
