// The page on drafting: the sweep between as found and as drafted, sliders, and the block drawn on by mouse, finger or
// keys. The server keeps the draft and draws it; what is kept here is only where the eye and the hand are.

import { Editor } from "./draft-block.js";

const page = document.getElementById("drafting");
const said = document.getElementById("said");
const open = new Map();
let swept = 40;
let editor = null;

// The sweep: how much of the photograph is seen over the draft.

function sweep() {
  const over = document.querySelector(".sweep-over");
  const bar = document.getElementById("sweep");
  if (!over || !bar) return;
  const left = Number(over.dataset.left);
  const width = (Number(over.dataset.width) * swept) / 100;
  over.querySelector("clipPath rect").setAttribute("width", width);
  const edge = over.querySelector(".sweep-edge");
  edge.setAttribute("x1", left + width);
  edge.setAttribute("x2", left + width);
  bar.value = String(swept);
  bar.setAttribute("aria-valuetext", `${swept} in 100 as found`);
}

function sweepTo(event) {
  const over = document.querySelector(".sweep-over");
  const x = new DOMPoint(event.clientX, event.clientY).matrixTransform(over.getScreenCTM().inverse()).x;
  swept = Math.round(Math.min(Math.max((x - over.dataset.left) / over.dataset.width, 0), 1) * 100);
  sweep();
}

page.addEventListener("pointerdown", (event) => {
  const room = event.target.closest(".sweep-room");
  if (!room?.querySelector(".sweep-over") || event.button) return;
  // On a touch screen a swipe up or down still scrolls the page.
  room.setPointerCapture(event.pointerId);
  sweepTo(event);
  const move = (moved) => sweepTo(moved);
  room.addEventListener("pointermove", move);
  for (const end of ["pointerup", "pointercancel"])
    room.addEventListener(end, () => room.removeEventListener("pointermove", move), { once: true });
});

// Sliders: the field beside shows the figure, the stage shows the quilt; it is kept once the slider is let go.

export function tape(value, unit) {
  if (unit === "cm") return value ? `${Math.round(value * 100) / 100} cm` : "";
  const eighths = Math.round(value * 8);
  let [top, bottom] = [eighths % 8, 8];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const text = [Math.floor(eighths / 8) || "", top ? `${top}/${bottom}` : ""].filter(Boolean).join(" ");
  return text ? `${text} in` : "";
}

let trying = null;
let tryAgain = false;
async function tryOut() {
  // One at a time; what changed meanwhile is tried when the answer is there, so that none is waited for in vain.
  if (trying) {
    tryAgain = true;
    return;
  }
  trying = new AbortController();
  const form = document.getElementById("setting");
  const query = new URLSearchParams(new FormData(form));
  query.set("color", page.querySelector("#colored input:checked")?.value ?? "");
  try {
    const answer = await fetch(`${form.dataset.try}?${query}`, { signal: trying.signal });
    const text = await answer.text();
    if (answer.ok) {
      document.getElementById("stage-picture").innerHTML = text;
      document.getElementById("answer").textContent = document.getElementById("tried").textContent;
      sweep();
    }
  } catch (fault) {
    if (fault.name !== "AbortError") throw fault;
    tryAgain = false;
  } finally {
    trying = null;
  }
  if (tryAgain) {
    tryAgain = false;
    tryOut();
  }
}

page.addEventListener("input", (event) => {
  const slider = event.target;
  if (slider.id === "sweep") {
    swept = Number(slider.value);
    sweep();
  }
  if (!slider.matches("input[type=range][data-for]")) return;
  const words = tape(Number(slider.value), slider.dataset.unit);
  document.getElementById(slider.dataset.for).value = words;
  slider.setAttribute("aria-valuetext", words || "none");
  tryOut();
});
page.addEventListener("change", (event) => {
  // The sweep lies outside every form; the colored radios have their own request.
  if (event.target.id === "sweep") event.stopPropagation();
});

// What stands behind "more", and side by side, is fetched when it is looked at, and again when the draft has changed.

function fetchInto(node) {
  node.dataset.fetched = "yes";
  const vary = node.querySelector("[data-vary]")?.dataset.vary;
  const address = node.dataset.lazy + (vary ? `?vary=${vary}` : "");
  window.htmx.ajax("GET", address, { source: node, target: node, swap: node.id === "draft-files" ? "outerHTML" : "innerHTML" });
}

const watcher = new IntersectionObserver((entries) => {
  for (const entry of entries)
    if (entry.isIntersecting && !entry.target.dataset.fetched) {
      watcher.unobserve(entry.target);
      fetchInto(entry.target);
    }
});

function seen(node) {
  const details = node.closest("details");
  return details ? details.open : true;
}

let later = 0;
document.addEventListener("draft-changed", () => {
  clearTimeout(later);
  // After the last of several edits.
  later = setTimeout(() => {
    for (const node of page.querySelectorAll("[data-lazy]")) {
      const written = [...node.querySelectorAll("textarea")].some((each) => each.value !== each.defaultValue);
      if (written && node.contains(document.activeElement)) continue;
      delete node.dataset.fetched;
      if (seen(node) && (node.id !== "beside" || node.childElementCount > 1)) fetchInto(node);
      else watcher.observe(node);
    }
  }, 500);
});

document.addEventListener(
  "toggle",
  (event) => {
    if (!event.target.id) return;
    open.set(event.target.id, event.target.open);
    for (const node of event.target.querySelectorAll("[data-lazy]"))
      if (event.target.open && !node.dataset.fetched && node.id !== "draft-files") fetchInto(node);
  },
  true,
);

// After an edit.

function begin() {
  for (const [id, wasOpen] of open) {
    const details = document.getElementById(id);
    if (details) details.open = wasOpen;
  }
  sweep();
  const data = document.getElementById("block-data");
  const host = document.getElementById("editor");
  if (!data || !host || host.dataset.begun) return;
  host.dataset.begun = "yes";
  const given = JSON.parse(data.dataset.block);
  editor ??= new Editor();
  editor.show(host, given);
  if (given.said) said.textContent = given.said;
}

// Sliders have no id: they only repeat a field, and are not to be taken for one.
const focusedNow = () => {
  const { id, dataset } = document.activeElement ?? {};
  return dataset?.for ? `[data-for="${dataset.for}"]` : id ? `[id="${id}"]` : "";
};
let focused = "";
document.addEventListener("htmx:beforeSwap", (event) => {
  const { target, requestConfig } = event.detail;
  // Only a draft drawn anew is newer than what a slider tries; what is fetched beside it is not.
  if (target?.id === "draft") trying?.abort();
  // What is being written is not overwritten by what was fetched meanwhile.
  if (target?.id === "draft-files" && requestConfig?.verb === "get")
    event.detail.shouldSwap &&= ![...target.querySelectorAll("textarea")].some((each) => each.value !== each.defaultValue);
  focused = focusedNow();
});
document.addEventListener("htmx:afterSwap", (event) => {
  begin();
  // The keyboard stays where it was; where that is gone, such as a button that did its work, it goes to the answer.
  if (focused && document.activeElement === document.body)
    (document.querySelector(focused) ?? document.getElementById("answer")).focus({ preventScroll: true });
});
for (const node of page.querySelectorAll("#beside")) watcher.observe(node);
begin();
