// Drag a step along its lane with a mouse or a pen: it leads to the page that shows what the new order moves. The buttons
// Earlier and Later in the table do the same from the keyboard, by touch, and without this file.
"use strict";

const STARTS_PX = 6; // less is a click that shook

const drag = { bar: null, from: 0, by: 0 };
const drawn = document.querySelector(".lanes-drawn[data-order-at]");

function middle(bar) {
  const box = bar.getBoundingClientRect();
  return box.left + box.width / 2;
}

// The pair the drop asks for: which step is done before which; null when nothing is passed.
function pair() {
  const lane = [...drawn.querySelectorAll(`[data-lane="${drag.bar.dataset.lane}"]`)].filter((bar) => bar !== drag.bar);
  const box = drag.bar.getBoundingClientRect();
  const old = middle(drag.bar) - drag.by;
  if (drag.by < 0) {
    const passed = lane.filter((bar) => middle(bar) < old && middle(bar) > box.left);
    const first = passed.sort((a, b) => middle(a) - middle(b))[0];
    return first ? { step: drag.bar, before: first, mark: first } : null;
  }
  const passed = lane.filter((bar) => middle(bar) > old && middle(bar) < box.right);
  const last = passed.sort((a, b) => middle(b) - middle(a))[0];
  return last ? { step: last, before: drag.bar, mark: last } : null;
}

function unmark() {
  for (const bar of drawn.querySelectorAll(".goes-before")) bar.classList.remove("goes-before");
}

function letGo() {
  if (!drag.bar) return;
  drag.bar.removeAttribute("transform");
  drag.bar.classList.remove("dragged");
  unmark();
  drag.bar = null;
}

if (drawn) {
  drawn.addEventListener("dragstart", (event) => event.preventDefault());
  drawn.addEventListener("pointerdown", (event) => {
    const bar = event.target.closest("[data-step]");
    if (!bar || event.button !== 0 || event.pointerType === "touch") return;
    Object.assign(drag, { bar, from: event.clientX, by: 0 });
  });
  document.addEventListener("pointermove", (event) => {
    if (!drag.bar) return;
    drag.by = event.clientX - drag.from;
    if (Math.abs(drag.by) < STARTS_PX) return;
    const svg = drag.bar.ownerSVGElement;
    drag.bar.setAttribute("transform", `translate(${(drag.by * svg.viewBox.baseVal.width) / svg.clientWidth} 0)`);
    drag.bar.classList.add("dragged");
    unmark();
    const found = pair();
    if (found) found.mark.classList.add("goes-before");
  });
  document.addEventListener("pointerup", () => {
    if (!drag.bar) return;
    const moved = Math.abs(drag.by) >= STARTS_PX;
    const found = moved ? pair() : null;
    // The click that follows a drag would open the build's page.
    if (moved) drawn.addEventListener("click", (event) => event.preventDefault(), { once: true, capture: true });
    letGo();
    if (found) {
      const at = drawn.dataset.orderAt;
      location.assign(`${at}&step=${found.step.dataset.step}&before=${found.before.dataset.step}`);
    }
  });
  document.addEventListener("pointercancel", letGo);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") letGo();
  });
}
