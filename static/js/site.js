// The page works without this file. It adds: what just changed is marked and said, focus, typed text and opened
// workings stay where they were across swaps, panels open and close, and a lost connection is told in words.
"use strict";

const MARK_MS = 2000;
const page = { figures: new Map(), open: new Set(), typed: null, scroll: 0, path: "", chooser: null };

// Figures carry data-figure="name of the figure"; those with data-say are announced when they change.
function figures() {
  const found = new Map();
  for (const node of document.querySelectorAll("[data-figure]")) {
    found.set(node.dataset.figure, node.textContent.replace(/\s+/g, " ").trim());
  }
  return found;
}

function markChanges() {
  const said = [];
  for (const node of document.querySelectorAll("[data-figure]")) {
    const was = page.figures.get(node.dataset.figure);
    const now = node.textContent.replace(/\s+/g, " ").trim();
    if (was === undefined || was === now) continue;
    node.classList.remove("changed");
    void node.offsetWidth; // restarts the animation when a figure changes twice within two seconds
    node.classList.add("changed");
    setTimeout(() => node.classList.remove("changed"), MARK_MS);
    if (node.dataset.say) said.push(`${node.dataset.say}: ${now}, was ${was}.`);
  }
  const line = document.getElementById("said");
  if (said.length && line) line.textContent = said.join(" ");
}

// Focus, typed text and opened details
function remember() {
  page.figures = figures();
  page.open = new Set([...document.querySelectorAll("details[id][open]")].map((node) => node.id));
  page.scroll = window.scrollY;
  const node = document.activeElement;
  page.typed = null;
  if (!node || !node.id) return;
  const writes = node.matches("input:not([type=checkbox], [type=radio]), textarea");
  page.typed = { id: node.id, node, dirty: writes && node.value !== node.defaultValue, value: node.value };
  if (writes && node.type !== "number") Object.assign(page.typed, { from: node.selectionStart, to: node.selectionEnd });
}

function restore() {
  for (const id of page.open) {
    const node = document.getElementById(id);
    // data-shut: what it was opened for is done
    if (node && node.tagName === "DETAILS" && !node.hasAttribute("data-shut")) node.open = true;
  }
  const typed = page.typed;
  const node = typed && document.getElementById(typed.id);
  if (node && node !== typed.node) {
    if (document.activeElement !== node) node.focus({ preventScroll: true });
    if (typed.dirty) {
      node.value = typed.value;
      node.addEventListener("blur", () => node.dispatchEvent(new Event("change", { bubbles: true })), { once: true });
    }
    if (typed.from !== undefined && node.setSelectionRange && node.type !== "checkbox") {
      node.setSelectionRange(typed.from, typed.to);
    }
    window.scrollTo({ top: page.scroll, behavior: "instant" });
  }
  markErrors();
}

// An error slot with words in it makes its field invalid, an empty one clears it.
function markErrors() {
  for (const slot of document.querySelectorAll(".error-text[id$=_error]")) {
    const field = document.getElementById(slot.id.replace(/_error$/, ""));
    if (!field) continue;
    if (slot.textContent.trim()) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
}

function tell(text) {
  const place = document.getElementById("trouble");
  if (place) place.textContent = text;
}

// Panels: a button with data-opens="id" toggles data-open on that element and aria-expanded on itself.
function toggle(button) {
  const panel = document.getElementById(button.dataset.opens);
  if (!panel) return;
  const open = !panel.hasAttribute("data-open");
  panel.toggleAttribute("data-open", open);
  for (const other of document.querySelectorAll(`[data-opens="${button.dataset.opens}"]`)) {
    other.setAttribute("aria-expanded", String(open));
  }
}

function closePanels() {
  for (const panel of document.querySelectorAll("[data-open]")) {
    const button = document.querySelector(`[data-opens="${panel.id}"]`);
    if (button) {
      toggle(button);
      button.focus();
    }
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-opens]");
  const panel = button && document.getElementById(button.dataset.opens);
  // A link to a panel that stands in the page anyway (on phones) stays a link.
  if (panel && (button.tagName === "BUTTON" || getComputedStyle(button).getPropertyValue("--opens").trim() === "1")) {
    event.preventDefault();
    toggle(button);
  }
  const closer = event.target.closest("[data-clears]");
  const cleared = closer && closer.closest(closer.dataset.clears);
  if (cleared) {
    event.preventDefault();
    const slot = cleared.parentElement;
    cleared.remove();
    const opener = document.querySelector(`[hx-target="#${slot.id}"]`);
    if (opener) opener.focus();
  }
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") closePanels();
});

// A list that chooses its own filter: the form is sent when a choice in it changes.
document.addEventListener("change", (event) => {
  const form = event.target.closest("form[data-send-on-change]");
  if (form) form.requestSubmit();
});

// A session that ended is answered with the sign-in page: say so instead of swapping nothing in silence.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (new URL(event.detail.xhr.responseURL || "/", location.href).pathname.startsWith("/sign-in/")) {
    event.detail.shouldSwap = false;
    tell("You were signed out. Nothing was saved; what you typed is still here. Sign in in another window, then try again.");
    return;
  }
  remember();
  page.path = event.detail.requestConfig.path;
});
document.addEventListener("htmx:afterSwap", restore);

// A panel that chooses a part outlives a rebuilt list of parts, open or on its way, unless a part was what changed.
document.addEventListener("htmx:oobBeforeSwap", (event) => {
  page.chooser = event.detail.target.id === "parts" ? document.getElementById("choose-new") : null;
  if (page.chooser && page.path.includes("/parts/")) page.chooser.replaceChildren();
});
document.addEventListener("htmx:oobAfterSwap", () => {
  const empty = page.chooser && document.getElementById("choose-new");
  if (empty && empty !== page.chooser) empty.replaceWith(page.chooser);
  restore();
});
document.addEventListener("htmx:afterSettle", markChanges);
document.addEventListener("htmx:beforeRequest", () => tell(""));
document.addEventListener("htmx:sendError", () => {
  tell("No connection to the shop's server. Nothing was saved; what you typed is still here. Try again.");
});
document.addEventListener("htmx:responseError", (event) => {
  const words = {
    403: "Your account may not do that, or you were signed out in another window. Load the page again.",
    404: "That is no longer here; somebody may have removed it. Load the page again.",
    409: "Somebody else changed this meanwhile. Load the page again to see it as it is now.",
  };
  tell(words[event.detail.xhr.status] || "That was not saved: something broke on the server. Load the page and try again.");
});
