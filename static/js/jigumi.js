/* What htmx cannot say by itself: that a change did not arrive, that somebody is still typing, and what a number means. */
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

// "12" left in a length is read aloud as "12 mm", which it is
document.addEventListener("change", ({ target }) => {
  if (target.closest("#words") && /_mm(\.\d+)?$/.test(target.name) && /^\s*\d+([.,]\d+)?\s*$/.test(target.value)) {
    target.value = `${target.value.trim()} mm`;
  }
}, true);
