/* What htmx cannot say by itself: that a change did not arrive. */
"use strict";

function alarm(on) {
  document.getElementById("alarm").hidden = !on;
}

for (const trouble of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(trouble, () => alarm(true));
}
document.addEventListener("htmx:afterOnLoad", () => alarm(false));
