// What is changed while the page is still loading is changed once more when htmx is ready: else it would stand in its
// field and never be saved. Loaded before everything else.
"use strict";

const early = new Set();

function noteEarly(event) {
  early.add(event.target);
}

document.addEventListener("change", noteEarly, true);
document.addEventListener("htmx:load", () => {
  document.removeEventListener("change", noteEarly, true);
  for (const field of early) field.dispatchEvent(new Event("change", { bubbles: true }));
  early.clear();
}, { once: true });
