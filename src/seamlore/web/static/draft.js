// The page on drafting: the sweep between as found and as drafted, sliders, and the block drawn on by mouse, finger or
// keys. The server keeps the draft and draws it; what is kept here is only where the eye and the hand are.

import { Editor } from "./draft-block.js";
import { morph } from "./morph.js";

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
      const made = document.createElement("template");
      made.innerHTML = text;
      morph(document.getElementById("stage-picture"), made.content, { within: true });
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

// An edit says which parts of the draft are shown already; the answer brings those that changed, each to its place.

document.addEventListener("htmx:configRequest", (event) => {
  const { verb, target, headers } = event.detail;
  if (verb !== "post" || target?.id !== "draft") return;
  headers["X-Shown-Already"] = [...target.querySelectorAll("[data-drawn]")].map((each) => `${each.id}=${each.dataset.drawn}`).join(" ");
});

// Blocks stay marked through what is likely to be done again, and where an edit was refused.
const AGAIN = ["turn", "mirror", "straight"];
let marked = null;
document.addEventListener("htmx:beforeSwap", (event) => {
  const { target, requestConfig, xhr } = event.detail;
  if (target?.id !== "draft" || !requestConfig.path.endsWith("/cells")) return;
  const stay = xhr.status >= 400 || AGAIN.includes(requestConfig.formData.get("do"));
  marked = stay ? [...target.querySelectorAll("input[name=cell]:checked")].map((each) => each.value) : [];
});
function mark() {
  if (!marked) return;
  const those = new Set(marked);
  marked = null;
  for (const box of document.querySelectorAll("#cell-rows input[name=cell]")) box.checked = those.has(box.value);
}

// The small pictures of kinds that are drawn otherwise now, in rows that are as they were.
let kindsDrawn = document.getElementById("kinds")?.dataset.drawnAs;
function drawKinds() {
  const drawnAs = document.getElementById("kinds")?.dataset.drawnAs ?? "{}";
  if (drawnAs === kindsDrawn) return;
  kindsDrawn = drawnAs;
  const drawn = JSON.parse(drawnAs);
  for (const picture of document.querySelectorAll("#cell-rows img[data-kind]")) {
    const key = drawn[picture.dataset.kind];
    const source = picture.getAttribute("src");
    const now = source.replace(/&k=\d+$/, `&k=${key}`);
    if (key !== undefined && now !== source) picture.setAttribute("src", now);
  }
}

// Blocks that go by another drawing now; the others are not touched.
function patchStage(patch) {
  const room = document.getElementById("sweep-room");
  const svg = room.querySelector("svg");
  const defs = svg.querySelector("defs");
  defs.append(...patch.querySelectorAll("defs > g"));
  const told = patch.querySelector("desc");
  if (told) svg.querySelector("desc").textContent = told.textContent;
  const uses = svg.querySelectorAll("use");
  for (const [number, name] of JSON.parse(patch.dataset.uses)) uses[number].setAttribute("href", `#${name}`);
  const others = JSON.parse(patch.dataset.others);
  if (others.length) {
    const alone = [...svg.querySelectorAll(":is(path, text):not(defs *)")];
    const drawn = [...patch.querySelector("svg > g").children];
    others.forEach((number, index) => alone[number].replaceWith(drawn[index]));
  }
  const used = new Set([...uses].map((each) => each.getAttribute("href").slice(1)));
  for (const each of [...defs.children]) if (!used.has(each.id)) each.remove();
  room.dataset.drawn = patch.dataset.print;
}

// Blocks that stand otherwise now, in rows that are as they were.
function patchCells(patch) {
  for (const { row, print, cells } of JSON.parse(patch.dataset.rows)) {
    document.getElementById(row).dataset.drawn = print;
    for (const [at, words, kind, lies, drawnAs] of cells) {
      const box = document.getElementById(`cell-${at.replace(",", "-")}`);
      box.parentNode.title = words;
      box.setAttribute("aria-label", words);
      let shown = box.nextElementSibling;
      if (Boolean(kind) !== (shown.localName === "img")) {
        const other = document.createElement(kind ? "img" : "span");
        if (kind) Object.assign(other, { alt: "", width: 36, height: 36 });
        else Object.assign(other, { className: "unread", ariaHidden: "true", textContent: "?" });
        shown.replaceWith(other);
        shown = other;
      }
      if (!kind) continue;
      const source = `${location.pathname}/kind.svg?kind=${kind}&k=${drawnAs}`;
      if (shown.getAttribute("src") !== source) shown.setAttribute("src", source);
      shown.dataset.kind = kind;
      shown.className = lies ? `lies-${lies}` : "";
    }
  }
}

// Each part that is sent says itself where it belongs, and only what differs in it is touched.
function put(part) {
  if (part.id === "stage-patch") return patchStage(part);
  if (part.id === "cells-patch") return patchCells(part);
  const within = part.id === "stage-picture";
  morph(document.getElementById(part.id), part, { within });
}

// Such an answer is not for the page to take apart: it is put where it belongs once what was typed is noted.
let parts = [];
document.addEventListener("htmx:beforeSwap", (event) => {
  const { target, xhr, shouldSwap } = event.detail;
  focused = focusedNow();
  parts = [];
  if (target?.id !== "draft" || !shouldSwap || xhr.getResponseHeader("hx-reswap") !== "none") return;
  const made = document.createElement("template");
  made.innerHTML = event.detail.serverResponse;
  parts = [...made.content.children];
  event.detail.serverResponse = "";
});

// What was not sent again is changed next on the newest state all the same; what was done is said.
function basedOn() {
  const { base, said: words } = document.getElementById("draft-says")?.dataset ?? {};
  if (base === undefined) return;
  for (const field of document.querySelectorAll("#draft input[name=base]")) field.value = base;
  if (editor?.data) editor.data.base = Number(base);
  if (words) said.textContent = words;
}

document.addEventListener("htmx:afterSwap", () => {
  for (const each of parts) put(each);
  parts = [];
  begin();
  basedOn();
  drawKinds();
  mark();
  // The keyboard stays where it was; where that is gone, such as a button that did its work, it goes to the answer.
  if (focused && document.activeElement === document.body)
    (document.querySelector(focused) ?? document.getElementById("answer")).focus({ preventScroll: true });
});
for (const node of page.querySelectorAll("#beside")) watcher.observe(node);
begin();
