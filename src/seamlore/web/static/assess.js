// The page on assessing: photographs one by one, notes drawn on them by mouse, finger or keyboard, places tapped.

import { Loupe, View, make, movable, path } from "./viewer.js";

const stage = document.getElementById("stage");
const host = document.getElementById("note-view");
const strip = document.getElementById("strip");
const hand = document.getElementById("hand");
const how = hand.textContent;
let data = null;
let shown = "";
let view = null;
let loupe = null;
// What is being drawn, in pixels of the photograph that is shown; `laying` holds the corners of one that is laid.
let outline = [];
let tapped = [];
let laying = null;
let cursor = null;
let lit = "";
// The kept note whose outline is being reshaped, and the corner that was touched last.
let reshaping = "";
let chosen = -1;
let drawing = false;

const id = (name) => document.getElementById(name);
const read = () => JSON.parse(id("assess-data").dataset.assess);
const tool = () => stage.querySelector("input[name=tool]:checked").value;
const show = (name) => stage.querySelector(`input[name=show-${name}]`).checked;
const photograph = () => data.photographs.find((each) => each.sha === shown) ?? data.photographs[0];
const tenth = (point) => point.map((part) => Math.round(part * 10) / 10);

function open(sha) {
  if (shown === sha && view) return;
  shown = sha;
  outline = [];
  tapped = [];
  laying = null;
  cursor = null;
  reshaping = "";
  chosen = -1;
  view?.viewer.destroy();
  host.replaceChildren();
  const { url, width, height } = photograph();
  view = new View(host, { width, height, label: "Notes on the photograph", source: { type: "image", url } });
  loupe = new Loupe(view);
  listen();
  hold();
  kept();
  draw();
}

// The strip of photographs.

function strips() {
  strip.replaceChildren(
    ...data.photographs.map((each) => {
      const item = document.createElement("li");
      const button = document.createElement("button");
      button.type = "button";
      button.setAttribute("aria-pressed", String(each.sha === shown));
      const image = document.createElement("img");
      image.src = each.url.replace(".jpg?", "/small.jpg?");
      image.alt = "";
      const count = data.notes.filter((note) => note.sha === each.sha).length;
      const words = document.createElement("span");
      words.textContent = each.says + (count ? `: ${count} note${count === 1 ? "" : "s"}` : "");
      button.append(image, words);
      button.addEventListener("click", () => {
        open(each.sha);
        strips();
      });
      item.append(button);
      return item;
    }),
  );
}

// Drawing.

const title = (words) => {
  const node = make("title");
  node.textContent = words;
  return node;
};

function shape(note, index) {
  const given = { class: `note does-${note.does}${note.key === lit ? " lit" : ""}`, "data-key": note.key };
  const words = [title(`${index + 1}. ${note.words}`)];
  if (note.outline.length === 1) {
    const [cx, cy] = note.outline[0];
    return make("circle", { ...given, cx, cy, r: 6, "data-radius": note.kind === "tie" ? 4 : 7 }, words);
  }
  return make("path", { ...given, d: path(note.outline, note.kind !== "quilting line") }, words);
}

function draw() {
  if (!view) return;
  const here = photograph();
  const children = [];
  if (here.edge.length) children.push(make("path", { d: path(here.edge, true), class: "line edge" }));
  if (here.front) {
    const { over } = data;
    if (show("blocks"))
      children.push(...over.blocks.map((each) => make("path", { d: path(each.outline, true), class: `block-${each.verdict}` }, [title(each.says)])));
    if (show("weak") && over.suspect.length)
      children.push(make("path", { d: over.suspect.map((ring) => path(ring, true)).join(""), class: "weak" }));
    if (show("held")) {
      if (over.widest.length) children.push(make("path", { d: path(over.widest, true), class: "widest" }));
      const dots = (list, kind) => list.map(([cx, cy]) => make("circle", { cx, cy, r: 4, "data-radius": 3.5, class: kind }));
      children.push(...dots(over.ties, "held"), ...dots(over.missing, "missing"));
    }
  }
  if (show("notes"))
    data.notes.forEach((note, index) => {
      if (note.sha === shown && note.key !== reshaping) children.push(shape(note, index));
    });
  if (outline.length) {
    children.push(make("path", { d: path(outline, closes()), class: "drawing" }));
    if (drawing) children.push(...outline.slice(0, 60).map(([cx, cy]) => make("circle", { cx, cy, r: 3, "data-radius": 2.5, class: "drawing-corner" })));
    else children.push(...cornerHandles());
  }
  for (const button of stage.querySelectorAll("[data-corner]")) button.disabled = chosen < 0;
  stage.querySelector("#corner-tools").hidden = outline.length < 2 || drawing;
  tapped.forEach(([cx, cy], index) => children.push(make("circle", { cx, cy, r: 7, "data-radius": 8, class: "tapped" }, [title(`Place ${index + 1}`)])));
  if (cursor) {
    const [x, y] = cursor;
    const size = view.width / 60;
    children.push(make("path", { d: `M${x - size} ${y}H${x + size}M${x} ${y - size}V${y + size}`, class: "cursor" }));
  }
  if (laying) children.push(...corners());
  view.redraw(children);
}

// Every corner of what is drawn can be moved, taken away, and given a neighbor: by mouse, finger and keyboard.

const kind = () => data.notes.find((each) => each.key === reshaping)?.kind ?? id("note-kind")?.value;
const closes = () => outline.length > 2 && kind() !== "quilting line";
const fewest = () => ({ tie: 1, "hand test": 1, "dye test": 1, "quilting line": 2 })[kind()] ?? 3;
const between = (index) => {
  const [one, other] = [outline[index], outline[(index + 1) % outline.length]];
  return [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2];
};

function cornerHandles() {
  const count = outline.length;
  const gaps = count < 2 ? 0 : closes() ? count : count - 1;
  const dots = Array.from({ length: gaps }, (_, index) => {
    const [cx, cy] = between(index);
    const dot = make("circle", {
      cx, cy, "data-radius": 5, "data-gap": index, class: "handle gap", tabindex: -1, role: "button",
      "aria-label": `A new corner after corner ${index + 1}`,
    });
    dot.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      event.stopPropagation();
      addCorner(index, inside(view.at(event)));
      // The new corner is taken along by the same press.
      const born = view.overlay.querySelector(`[data-vertex="${index + 1}"]`);
      born?.dispatchEvent(new PointerEvent("pointerdown", event));
    });
    return dot;
  });
  const handles = outline.map((corner, index) => {
    const handle = make("circle", {
      cx: corner[0], cy: corner[1], "data-radius": 8, "data-vertex": index, class: `handle vertex${index === chosen ? " chosen" : ""}`, tabindex: 0, role: "button",
      "aria-label": `Corner ${index + 1} of ${count}. Arrow keys move it, Delete takes it away, Insert or plus adds one after it.`,
    });
    movable(view, handle, {
      at: corner,
      step: Math.max(1, view.width / 1000),
      move: (point, event) => {
        if (event !== undefined) pick(index);
        outline[index] = inside(point);
        moved(index);
        if (event) loupe.show(outline[index]);
        else loupe.hide();
      },
      done: () => {
        loupe.hide();
        kept();
      },
    });
    handle.addEventListener("focus", () => pick(index));
    handle.addEventListener("keydown", (event) => {
      if (["Delete", "Backspace"].includes(event.key)) dropCorner(index);
      else if (["Insert", "+"].includes(event.key)) addCorner(index, between(index));
      else return;
      event.preventDefault();
      event.stopPropagation();
    });
    return handle;
  });
  return [...dots, ...handles];
}

function pick(index) {
  chosen = index;
  for (const handle of view.overlay.querySelectorAll("[data-vertex]")) handle.classList.toggle("chosen", Number(handle.dataset.vertex) === index);
  for (const button of stage.querySelectorAll("[data-corner]")) button.disabled = false;
}

// While a corner moves, what hangs on it is moved along, and nothing is made anew: the focus and the hand stay on it.
function moved(index) {
  const put = (node, [x, y]) => {
    node?.setAttribute("cx", x);
    node?.setAttribute("cy", y);
  };
  put(view.overlay.querySelector(`[data-vertex="${index}"]`), outline[index]);
  for (const gap of [index, (index + outline.length - 1) % outline.length]) put(view.overlay.querySelector(`[data-gap="${gap}"]`), between(gap));
  view.overlay.querySelector(".drawing")?.setAttribute("d", path(outline, closes()));
  kept();
}

function addCorner(index, point) {
  if (outline.length >= 390) return;
  outline.splice(index + 1, 0, point.slice());
  chosen = index + 1;
  kept();
  draw();
  view.overlay.querySelector(`[data-vertex="${chosen}"]`)?.focus({ preventScroll: true });
}

function dropCorner(index) {
  if (outline.length <= fewest()) {
    hand.textContent = `${fewest()} corner${fewest() === 1 ? "" : "s"} are the fewest that this can have; take the whole note away below.`;
    return;
  }
  outline.splice(index, 1);
  chosen = Math.min(index, outline.length - 1);
  kept();
  draw();
  view.overlay.querySelector(`[data-vertex="${chosen}"]`)?.focus({ preventScroll: true });
}

function reshape(key) {
  const note = data.notes.find((each) => each.key === key);
  if (!note) return;
  light(key, false);
  reshaping = key;
  outline = note.outline.map((each) => [...each]);
  chosen = -1;
  stage.querySelector("input[name=tool][value=move]").checked = true;
  hand.textContent = "Drag a corner where it belongs; a small dot between two corners becomes one. Then press \u201cChange it\u201d at the note. With the keys: Tab goes from corner to corner, arrows move one, Delete takes it away, Insert adds one. Escape leaves the note as it was.";
  hold();
  kept();
  draw();
  stage.scrollIntoView({ block: "nearest" });
  view.overlay.querySelector('[data-vertex="0"]')?.focus({ preventScroll: true });
}

function unshape() {
  const field = document.querySelector(`[data-outline="${reshaping}"]`);
  if (field) field.value = "";
  reshaping = "";
  outline = [];
  chosen = -1;
  hand.textContent = how;
  kept();
  draw();
}

function corners() {
  const names = ["top left", "top right", "bottom right", "bottom left"];
  const ring = make("path", { d: path(laying, true), class: "line edge" });
  const handles = laying.map((corner, index) => {
    const handle = make("circle", {
      cx: corner[0], cy: corner[1], "data-radius": 12, class: "handle", tabindex: 0, role: "button",
      "aria-label": `Corner at the ${names[index]}, as seen. Arrow keys move it.`,
    });
    movable(view, handle, {
      at: corner,
      step: Math.max(1, view.width / 2000),
      move: (point, event) => {
        laying[index] = inside(point);
        handle.setAttribute("cx", laying[index][0]);
        handle.setAttribute("cy", laying[index][1]);
        ring.setAttribute("d", path(laying, true));
        if (event) loupe.show(laying[index]);
        else loupe.hide();
      },
      done: () => {
        loupe.hide();
        fillCorners();
      },
    });
    return handle;
  });
  return [ring, ...handles];
}

function fillCorners() {
  const field = document.querySelector(`[data-corners="${shown}"]`);
  if (field) field.value = JSON.stringify(laying.map(tenth));
}

const inside = ([x, y]) => [Math.min(Math.max(x, 0), view.width - 1), Math.min(Math.max(y, 0), view.height - 1)];

// A hand's line with as few corners as keep within a hair of it (Douglas and Peucker).
function simpler(points, least) {
  if (points.length < 3) return points;
  const [first, last] = [points[0], points[points.length - 1]];
  const [dx, dy] = [last[0] - first[0], last[1] - first[1]];
  const length = Math.hypot(dx, dy);
  let most = 0;
  let at = 0;
  for (let index = 1; index < points.length - 1; index += 1) {
    const [x, y] = [points[index][0] - first[0], points[index][1] - first[1]];
    const away = length ? Math.abs(x * dy - y * dx) / length : Math.hypot(x, y);
    if (away > most) [most, at] = [away, index];
  }
  if (most <= least) return [first, last];
  return [...simpler(points.slice(0, at + 1), least), ...simpler(points.slice(at), least).slice(1)];
}

function listen() {
  const layer = view.overlay;
  let run = null;
  drawing = false;
  layer.addEventListener("pointerdown", (event) => {
    if (tool() === "move" || event.button > 0 || laying) return;
    event.preventDefault();
    event.stopPropagation();
    layer.setPointerCapture(event.pointerId);
    if (reshaping) unshape();
    drawing = true;
    run = [inside(view.at(event))];
  });
  layer.addEventListener("pointermove", (event) => {
    if (!run || tool() !== "draw") return;
    run.push(inside(view.at(event)));
    const before = outline;
    outline = [...outline, ...run];
    draw();
    outline = before;
  });
  const end = () => {
    if (!run) return;
    const hair = view.width / host.clientWidth / (view.viewer.viewport.getZoom(true) || 1);
    const moved = run.some(([x, y]) => Math.hypot(x - run[0][0], y - run[0][1]) > 6 * hair);
    if (tool() === "tap") tap(run[run.length - 1]);
    else if (moved) {
      outline = [...outline, ...simpler(run, 1.2 * hair)];
      if (outline.length > 3) outline = outline.slice(0, 390);
      closed();
    } else outline.push(run[0]);
    run = null;
    drawing = false;
    kept();
    draw();
  };
  layer.addEventListener("pointerup", end);
  layer.addEventListener("pointercancel", () => {
    run = null;
    drawing = false;
  });
  layer.addEventListener("click", (event) => {
    const key = event.target.dataset?.key;
    if (tool() === "move" && key) light(key, true);
  });
  host.addEventListener("keydown", keys, true);
}

function keys(event) {
  if (reshaping && event.key === "Escape") {
    event.preventDefault();
    event.stopPropagation();
    unshape();
    return;
  }
  if (tool() === "move" || laying || event.target.matches?.(".handle")) return;
  const steps = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
  const known = steps || [" ", "Enter", "Escape", "Backspace"].includes(event.key);
  if (!known) return;
  event.preventDefault();
  event.stopPropagation();
  cursor ??= [view.width / 2, view.height / 2];
  if (steps) {
    const size = Math.max(1, view.width / (event.shiftKey ? 40 : 400));
    cursor = inside([cursor[0] + steps[0] * size, cursor[1] + steps[1] * size]);
  } else if (event.key === " ") {
    if (tool() === "tap") tap(cursor);
    else outline.push(cursor);
  } else if (event.key === "Backspace") outline.pop();
  else if (event.key === "Escape") [outline, tapped] = [[], []];
  else closed();
  kept();
  draw();
}

function tap(point) {
  tapped = tapped.length > 2 ? [point] : [...tapped, point];
  outline = [point];
}

function closed() {
  id("note-kind")?.focus({ preventScroll: innerWidth > 900 });
}

// What was drawn goes into the form.
function kept() {
  const field = id("note-outline");
  if (!field) return;
  if (reshaping) {
    const changed = document.querySelector(`[data-outline="${reshaping}"]`);
    if (changed) changed.value = JSON.stringify(outline.map(tenth));
    id("drawn").textContent = `Note ${data.notes.findIndex((each) => each.key === reshaping) + 1} is being reshaped.`;
    return;
  }
  field.value = outline.length ? JSON.stringify(outline.map(tenth)) : "";
  id("note-photograph").value = shown;
  const corners = outline.length;
  id("drawn").textContent = corners === 0 ? "Nothing is drawn yet." : corners === 1 ? "One place is marked; a tie or a test needs no more." : `Drawn with ${corners} corners on ${photograph().says}.`;
  id("fade-photograph").value = shown;
  id("fade-spots").value = tapped.length > 1 ? JSON.stringify(tapped.map(tenth)) : "";
  id("hand-photograph").value = shown;
  id("hand-spots").value = tapped.length ? JSON.stringify(tapped.slice(-1).map(tenth)) : "";
  const places = ["where it was covered", "where it is faded", "the white card"];
  if (tapped.length) id("faded").textContent = `Tapped: ${places.slice(0, tapped.length).join(", ")}.${tapped.length < 3 ? ` Next: ${places[tapped.length]}.` : ""}`;
}

function light(key, list) {
  lit = key;
  const note = data.notes.find((each) => each.key === key);
  if (note && note.sha !== shown) {
    open(note.sha);
    strips();
  }
  draw();
  const item = document.querySelector(`li[data-note="${key}"]`);
  if (list && item) {
    item.querySelector("details").open = true;
    item.scrollIntoView({ block: "nearest" });
  }
}

// The form for a note asks what belongs to its kind.
function asked() {
  const chosen = id("note-kind")?.selectedOptions[0];
  if (!chosen) return;
  id("kind-says").textContent = chosen.dataset.says;
  const damage = ["cloth", "look", "alive", "made"].includes(chosen.dataset.does);
  for (const part of document.querySelectorAll("#note-form [data-for]")) {
    const wanted = part.dataset.for === "damage" ? damage : part.dataset.for === chosen.value;
    part.hidden = !wanted;
    for (const field of part.querySelectorAll("select, input")) field.disabled = !wanted;
  }
}

function hold() {
  const drawing = tool() !== "move";
  view?.viewer.setMouseNavEnabled(!drawing);
  view?.overlay.classList.toggle("drawing-on", drawing || Boolean(laying));
}

document.addEventListener("change", (event) => {
  if (event.target.name === "tool") {
    cursor = null;
    hold();
    draw();
    if (tool() !== "move") view.viewer.canvas.focus({ preventScroll: true });
  }
  if (event.target.name?.startsWith("show-")) draw();
  if (event.target.id === "note-kind") {
    asked();
    draw();
  }
});
document.addEventListener("input", (event) => {
  if (event.target.id !== "find-note") return;
  const words = event.target.value.toLowerCase().split(" ").filter(Boolean);
  for (const item of document.querySelectorAll("li[data-note]")) item.hidden = !words.every((word) => item.dataset.find.includes(word));
});
document.addEventListener("click", (event) => {
  const { target } = event;
  if (target.matches("[data-zoom]")) view.zoom(Number(target.dataset.zoom));
  if (target.matches("[data-whole]")) view.whole();
  if (target.matches("[data-show]")) {
    light(target.dataset.show, false);
    stage.scrollIntoView({ block: "nearest" });
  }
  if (target.matches("[data-reshape]")) reshape(target.dataset.reshape);
  if (target.matches("[data-corner]") && chosen >= 0) {
    if (target.dataset.corner === "drop") dropCorner(chosen);
    else addCorner(chosen, between(chosen));
  }
  if (target.matches("[data-lay]")) {
    open(target.dataset.lay);
    strips();
    const [w, h] = [view.width, view.height];
    laying = (photograph().corners ?? [[0.1 * w, 0.1 * h], [0.9 * w, 0.1 * h], [0.9 * w, 0.9 * h], [0.1 * w, 0.9 * h]]).map((each) => [...each]);
    hand.textContent = "Drag the four corners onto the quilt's corners as you see them in this picture, then keep this below.";
    fillCorners();
    hold();
    draw();
    stage.scrollIntoView({ block: "nearest" });
  }
});

function begin() {
  data = read();
  if (!data.photographs.some((each) => each.sha === shown)) shown = "";
  const kind = sessionStorage.getItem("seamlore-note-kind");
  if (kind && id("note-kind") && !id("slip")) id("note-kind").value = kind;
  asked();
  if (!shown || !view) open(data.photographs[0].sha);
  strips();
  kept();
  draw();
}

document.addEventListener("submit", (event) => {
  if (event.target.id === "note-form") sessionStorage.setItem("seamlore-note-kind", id("note-kind").value);
});
let drawnFrom = id("assess-data");
document.addEventListener("htmx:afterSwap", (event) => {
  const now = id("assess-data");
  if (!now || now === drawnFrom) return;
  drawnFrom = now;
  // What was refused stays drawn, to be mended; so does what was being drawn while something else was kept.
  const aside = /\/assess\/(condition|block)$/.test(event.detail?.pathInfo?.requestPath ?? "");
  if (!id("slip") && !aside) {
    reshaping = "";
    chosen = -1;
    outline = [];
    tapped = [];
    laying = null;
    hand.textContent = how;
    hold();
  }
  begin();
});
begin();
