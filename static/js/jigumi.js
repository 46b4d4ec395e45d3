/* What htmx cannot say by itself: that a change did not arrive, that somebody is still typing, and what a number means. */
"use strict";

function alarm(on) {
  document.getElementById("alarm").hidden = !on;
}

for (const trouble of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(trouble, () => alarm(true));
}
document.addEventListener("htmx:afterOnLoad", () => alarm(false));

// what is wrong is not folded away
document.addEventListener("htmx:afterOnLoad", () => {
  for (const told of document.querySelectorAll("#words details .problem:not(:empty)")) {
    told.closest("details").open = true;
  }
});

// after a pause, what can be saved is saved; what cannot is not complained about until the field is left
document.addEventListener("htmx:configRequest", (event) => {
  if (event.detail.triggeringEvent?.type === "input") {
    event.detail.headers["X-Typing"] = "on";
  }
});

// what is typed while an answer is on its way stays typed, made from what it was made from, and is sent in its turn
let sent = new Map(), typedSince = [];
document.addEventListener("htmx:configRequest", ({ detail }) => {
  if (detail.elt.id === "words") {
    sent = new Map(new FormData(detail.elt));
  }
});
document.addEventListener("htmx:oobBeforeSwap", ({ detail: { target, fragment } }) => {
  const fresh = target.id === "words" ? fragment.querySelector("[name='made_from']") : null;
  if (!fresh) {
    return;
  }
  const before = JSON.parse(target.elements.made_from.value), now = JSON.parse(fresh.value);
  for (const field of target.querySelectorAll("input[type='text'], select")) {
    const same = fragment.querySelector(`[name="${CSS.escape(field.name)}"]:not([type="hidden"])`);
    if (same && sent.has(field.name) && sent.get(field.name) !== field.value) {
      same.value = field.value;
      now[field.name] = before[field.name];
      typedSince.push(field.id);
    }
  }
  fresh.value = JSON.stringify(now);
});
document.addEventListener("htmx:afterSettle", () => {
  for (const field of typedSince.splice(0).map((id) => document.getElementById(id))) {
    field?.dispatchEvent(new Event(field === document.activeElement ? "input" : "change", { bubbles: true }));
  }
});

// "12" left in a length is read aloud as "12 mm", which it is
document.addEventListener("change", ({ target }) => {
  if (target.closest("#words") && /_mm(\.\d+)?$/.test(target.name) && /^\s*\d+([.,]\d+)?\s*$/.test(target.value)) {
    target.value = `${target.value.trim()} mm`;
  }
}, true);

// a click on the drawing says which single cell is meant: the server finds it by the point, in the drawing's units
document.addEventListener("click", ({ target, clientX, clientY }) => {
  const drawing = target.closest?.("#drawing svg.elevation"), cell = document.getElementById("cell");
  if (!drawing || !cell || cell.closest("fieldset").disabled) {
    return;
  }
  const screen = drawing.getScreenCTM(), point = new DOMPoint(clientX, clientY).matrixTransform(screen.inverse());
  cell.querySelector("[name='point.x']").value = point.x;
  cell.querySelector("[name='point.y']").value = point.y;
  cell.closest("details").open = true;
  htmx.trigger(cell, "pointed");
  drawing.querySelector(".pointed")?.remove();
  const mark = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  for (const [name, value] of Object.entries({ class: "pointed", cx: point.x, cy: point.y, r: 6 / screen.a })) {
    mark.setAttribute(name, value);
  }
  drawing.append(mark);
});
