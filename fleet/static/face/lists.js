// What every list of the office does in a browser; all of it is a convenience over plain links and forms.
import { hearScans } from "./lone-keys.js";
import { offerSwitch } from "./keys.js";
import { listenToKeys } from "./list-keys.js";
import { pickDays } from "./days.js";
import { showParts } from "./page-parts.js";
import { openInPlace } from "./list-opening.js";
import { countPicks } from "./list-picks.js";

// On a hand's width the filters begin folded: the list is what was asked for.
if (matchMedia("(max-width: 720px)").matches) {
  document.querySelectorAll(".filter-fold").forEach((fold) => {
    fold.open = false;
  });
}
hearScans();
listenToKeys();
offerSwitch();
countPicks();
openInPlace();
pickDays();
showParts();
