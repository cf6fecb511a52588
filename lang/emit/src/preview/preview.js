"use strict";
// The page asks for a view and shows it: from the server it came from, or from the editor around it.
const main = document.getElementById("view");
const state = document.getElementById("state");
const editor = typeof acquireVsCodeApi === "function" ? acquireVsCodeApi() : null;
let at = null;
let asked = 0;

function show(html) {
  const focus = document.activeElement && document.activeElement.id;
  main.innerHTML = html;
  if (focus && main.querySelector("#" + CSS.escape(focus))) document.getElementById(focus).focus();
}

function say(text) {
  state.textContent = text;
  state.hidden = !text;
}

async function ask() {
  if (editor) return editor.postMessage({ at });
  const mine = ++asked;
  try {
    const answer = await fetch(at === null ? "view" : "view?at=" + at);
    const html = await answer.text();
    // An answer that was overtaken is not shown.
    if (answer.ok && mine === asked) show(html);
  } catch {
    say("Disconnected: view may be out of date.");
  }
}

function choose(button) {
  at = Number(button.dataset.at);
  button.focus();
  ask();
}

main.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-at]");
  if (button) choose(button);
});

addEventListener("keydown", (event) => {
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  const moved = event.altKey || event.ctrlKey || event.metaKey || event.shiftKey;
  // Inside a table that is wider than the window these keys move the table.
  if (!step || moved || event.target.closest(".scroll")) return;
  const all = [...main.querySelectorAll("button[data-at]")];
  const next = all[all.findIndex((b) => b.hasAttribute("aria-current")) + step];
  if (next) choose(next);
  event.preventDefault();
});

if (editor) {
  addEventListener("message", (event) => {
    if (typeof event.data.html !== "string") return;
    if (event.data.cursor) at = null;
    show(event.data.html);
  });
} else {
  const events = new EventSource("events");
  events.onmessage = () => ask();
  events.onopen = () => say("");
  events.onerror = () => say("Disconnected: view may be out of date.");
}
