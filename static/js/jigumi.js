/* What htmx cannot say by itself: that a change did not arrive, and that somebody is still typing. */
"use strict";

function alarm(on) {
  document.getElementById("alarm").hidden = !on;
}

for (const trouble of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(trouble, () => alarm(true));
}
document.addEventListener("htmx:afterOnLoad", () => alarm(false));

// after a pause, what can be saved is saved; what cannot is not complained about until the field is left
document.addEventListener("htmx:configRequest", (event) => {
  if (event.detail.triggeringEvent?.type === "input") {
    event.detail.headers["X-Typing"] = "on";
  }
});
