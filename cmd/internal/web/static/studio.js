// What the pages do beyond links and forms. Every page works without it.
"use strict";

// Live: a form that says data-live asks that address while someone types, and
// puts the answer into the element whose id is data-target.
function live(form) {
  const target = document.getElementById(form.dataset.target);
  if (!target) return;
  let timer, asked;
  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    const data = new FormData(form);
    for (const [name, value] of [...data]) if (value instanceof File) data.delete(name);
    const get = form.method === "get";
    const query = new URLSearchParams(data);
    try {
      const answer = await fetch(get ? form.dataset.live + "?" + query : form.dataset.live, {
        method: get ? "GET" : "POST", body: get ? undefined : query,
        headers: {"X-Fragment": "1"}, signal: asked.signal, redirect: "error",
      });
      if (!answer.ok) return;
      const text = await answer.text();
      const held = target.contains(document.activeElement) ? document.activeElement.id : "";
      target.innerHTML = text; // from our own server, escaped there
      if (held) document.getElementById(held)?.focus();
      document.dispatchEvent(new CustomEvent("fragment", {detail: target}));
      for (const [name, value] of data) if (value === "") query.delete(name);
      if (get) history.replaceState(null, "", form.action + (query.size ? "?" + query : ""));
    } catch (e) {
      if (e.name !== "AbortError") console.warn(e.message);
    }
  };
  form.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(ask, 180); });
}

// Guard: leaving a form with something typed in it asks first.
const touched = new Set();
function guard(form) {
  if (form.dataset.guard === "typed") touched.add(form); // came back unsaved
  form.addEventListener("input", () => touched.add(form));
  form.addEventListener("submit", () => touched.delete(form));
}
for (const link of document.querySelectorAll("a[data-drops]")) link.addEventListener("click", () => touched.clear()); // it says so
addEventListener("beforeunload", (e) => {
  for (const form of touched) if (form.isConnected) { e.preventDefault(); return; }
});

// A form is sent once, however often the button is pressed.
function once(form) {
  form.addEventListener("submit", (e) => {
    if (form.dataset.sent && form.method === "post") { e.preventDefault(); return; }
    form.dataset.sent = "1";
    setTimeout(() => delete form.dataset.sent, 4000);
  });
}

// A box for figures that says data-slide has a slider beside it.
function slide(row) {
  const box = row.querySelector("input.figure"), range = document.createElement("input");
  const label = row.querySelector("label").textContent.trim();
  Object.assign(range, {type: "range", min: -50, max: 100, step: 1, value: box.value.replace(",", ".") || 0});
  range.setAttribute("aria-label", label + ", slider, per cent");
  range.addEventListener("input", () => { box.value = range.value === "0" ? "" : range.value; });
  box.addEventListener("input", () => { range.value = box.value.replace(",", ".") || 0; });
  row.querySelector(".box").before(range);
}

// What a phone folds is open on a wide screen, and on paper.
const wide = matchMedia("(min-width: 44.01rem)");
function unroll(root) {
  for (const part of root.querySelectorAll(".unroll")) {
    if (wide.matches) part.open = true;
    part.dataset.ready = "1";
  }
}
wide.addEventListener("change", () => unroll(document));

function prepare(root) {
  unroll(root);
  for (const row of root.querySelectorAll("[data-slide]")) if (!row.querySelector("[type=range]")) slide(row);
  for (const form of root.querySelectorAll("form")) {
    if (form.dataset.ready) continue;
    form.dataset.ready = "1";
    once(form);
    if (form.dataset.live) live(form);
    if ("guard" in form.dataset) guard(form);
  }
  root.querySelector("[data-focus]")?.focus();
}
document.addEventListener("fragment", (e) => prepare(e.detail));
prepare(document);

const unrolled = [];
addEventListener("beforeprint", () => {
  for (const part of document.querySelectorAll(":is(.unroll, .rest-of, .onpaper):not([open])")) { part.open = true; unrolled.push(part); }
});
addEventListener("afterprint", () => { for (const part of unrolled.splice(0)) part.open = false; });

// Opening the line that an address points at, and all around it.
function reveal() {
  let at = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  for (; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
}
addEventListener("hashchange", reveal);
reveal();

// A plot that is wider than a phone begins at its newest prices.
for (const plot of document.querySelectorAll(".history .plotted, #beside .plotted")) plot.scrollLeft = plot.scrollWidth;

// A file dropped on a form that takes one is as if it had been chosen.
for (const box of document.querySelectorAll("form input[type=file]")) {
  const form = box.form;
  form.addEventListener("dragover", (e) => { e.preventDefault(); form.classList.add("over"); });
  form.addEventListener("dragleave", () => form.classList.remove("over"));
  form.addEventListener("drop", (e) => {
    e.preventDefault();
    form.classList.remove("over");
    if (e.dataTransfer.files.length) { box.files = e.dataTransfer.files; box.dispatchEvent(new Event("change", {bubbles: true})); }
  });
}

// A file dropped anywhere on a page whose form says data-drop is sent with it.
const dropped = document.querySelector("form[data-drop]");
if (dropped) {
  const over = (e, on) => { if (e.dataTransfer?.types.includes("Files")) { e.preventDefault(); dropped.classList.toggle("over", on); } };
  addEventListener("dragover", (e) => over(e, true));
  addEventListener("dragleave", (e) => { if (!e.relatedTarget) dropped.classList.remove("over"); });
  addEventListener("drop", (e) => {
    over(e, false);
    if (!e.dataTransfer.files.length) return;
    dropped.querySelector("[type=file]").files = e.dataTransfer.files;
    dropped.requestSubmit();
  });
}

// Keys: / searches, g and a letter goes to a section, ? shows the keys. Ctrl
// and Enter sends the form one is in. Letters can be switched off.
let going = 0;
addEventListener("keydown", (e) => {
  const at = e.target;
  if (e.key === "Enter" && (e.ctrlKey || e.metaKey) && at.form) { e.preventDefault(); at.form.requestSubmit(); return; }
  if (document.documentElement.dataset.keys !== "on" || e.ctrlKey || e.metaKey || e.altKey) return;
  if (at.isContentEditable || /^(INPUT|SELECT|TEXTAREA)$/.test(at.tagName)) return;
  if (e.key === "/") {
    const box = document.getElementById("search");
    if (box) { e.preventDefault(); box.focus(); box.select(); }
  } else if (e.key === "?") {
    location.href = "/shortcuts";
  } else if (e.key === "g") {
    going = Date.now();
  } else if (Date.now() - going < 1500) {
    going = 0;
    document.querySelector(`.sections a[data-key="${CSS.escape(e.key)}"]`)?.click();
  }
});
