// The page on looking: corners and edges on the photograph, the block grid on the flattened quilt, measuring.

import { Loupe, View, make, movable, path } from "./viewer.js";

const stage = document.getElementById("stage");
const names = ["top left", "top right", "bottom right", "bottom left"];
let data = null;
let photo = null;
let flat = null;
let flatAddress = "";
let measuring = false;
let marks = [];
let nextMark = 0;

function read() {
  const node = document.getElementById("look-data");
  return node ? JSON.parse(node.textContent) : null;
}

function shown(name) {
  return stage.querySelector(`input[name=show-${name}]`)?.checked;
}

function lines(list, which, kind) {
  return list.map((line) => make("path", { d: path(line[which]), class: `line ${kind}` }));
}

function cells(which) {
  const drawn = [];
  for (const cell of data.cells) {
    const odd = cell.turn || cell.mirrored || cell.differs;
    if (!odd || !shown("odd")) continue;
    const says =
      `Row ${cell.row + 1}, column ${cell.column + 1}: ` +
      [cell.mirrored && "mirrored", cell.turn && `turned ${cell.turn} degrees`, cell.differs && "differs from the rest"]
        .filter(Boolean)
        .join(", ");
    drawn.push(make("path", { d: path(cell[which], true), class: "odd" }, [title(says)]));
  }
  return drawn;
}

function title(words) {
  const node = make("title");
  node.textContent = words;
  return node;
}

function drawPhoto() {
  const children = [];
  children.push(make("path", { d: path(data.edges.flat(), true), class: "line edge" }));
  if (shown("grid")) children.push(...lines(data.columns, "photo", "grid"), ...lines(data.rows, "photo", "grid"));
  if (shown("seams")) children.push(make("path", { d: data.seams.map((ring) => path(ring.photo, true)).join(""), class: "seams" }));
  children.push(...cells("photo"));
  data.corners.forEach((corner, index) => {
    const handle = make("circle", {
      cx: corner[0], cy: corner[1], "data-radius": 13, class: "handle", tabindex: 0, role: "button",
      "aria-label": `Corner at the ${names[index]}. Arrow keys move it.`,
    });
    const dot = make("circle", { cx: corner[0], cy: corner[1], "data-radius": 2.5, class: "dot" });
    movable(photo, handle, {
      at: corner,
      step: Math.max(1, photo.width / 2000),
      move: (point, event) => {
        for (const node of [handle, dot]) {
          node.setAttribute("cx", point[0]);
          node.setAttribute("cy", point[1]);
        }
        const now = data.corners.map((each, at) => (at === index ? point : each));
        photo.overlay.querySelector(".edge").setAttribute("d", path(now, true));
        if (event) loupe.show(point);
        else loupe.hide();
      },
      done: (point) => {
        loupe.hide();
        data.corners[index] = point;
        send({ corners: JSON.stringify(data.corners.map((each) => each.map((x) => Math.round(x * 10) / 10))) }, index);
      },
    });
    children.push(handle, dot);
  });
  photo.redraw(children);
}

function drawFlat() {
  const children = [];
  if (shown("seams")) children.push(make("path", { d: data.seams.map((ring) => path(ring.flat, true)).join(""), class: "seams" }));
  children.push(...cells("flat"));
  if (shown("grid"))
    for (const [list, kind, axis] of [[data.columns, "column", "x"], [data.rows, "row", "y"]])
      list.forEach((line, index) => {
        const at = line.flat[0][axis === "x" ? 0 : 1];
        const drawn = make("path", { d: path(line.flat), class: "line grid" });
        const grip = make("path", {
          d: path(line.flat), class: "grip", tabindex: 0, role: "button",
          "aria-label": `${line.says}. Arrow keys move it.`,
        });
        movable(flat, grip, {
          at: axis === "x" ? [at, 0] : [0, at],
          axis,
          move: ([x, y]) => {
            const d = path(axis === "x" ? [[x, 0], [x, flat.height]] : [[0, y], [flat.width, y]]);
            drawn.setAttribute("d", d);
            grip.setAttribute("d", d);
          },
          done: ([x, y]) => {
            const part = axis === "x" ? x / flat.width : y / flat.height;
            send({ [`${kind}_line`]: JSON.stringify([line.part, Math.round(part * 1e5) / 1e5]) }, null);
          },
        });
        children.push(drawn, grip);
      });
  if (measuring) {
    const run = make("path", { d: path(marks), class: "line tape" });
    children.push(run);
    marks.forEach((mark, index) => {
      const handle = make("circle", {
        cx: mark[0], cy: mark[1], "data-radius": 9, class: "mark", tabindex: 0, role: "button",
        "aria-label": `End ${index + 1} of the measurement. Arrow keys move it.`,
      });
      const move = (point) => {
        marks[index] = point;
        handle.setAttribute("cx", point[0]);
        handle.setAttribute("cy", point[1]);
        run.setAttribute("d", path(marks));
        measured();
      };
      movable(flat, handle, { at: mark, move, done: move });
      children.push(handle);
    });
  }
  flat.redraw(children);
}

function measured() {
  const says = document.getElementById("measured");
  if (!measuring) return;
  const [[x0, y0], [x1, y1]] = marks;
  const length = Math.hypot(x1 - x0, y1 - y0) / data.flat.perUnit;
  const give = Math.hypot(data.flat.sigma * length, data.flat.click);
  const words = data.unit === "width" ? "quilt widths" : data.unit;
  const round = data.unit === "in" ? tape(length) : length.toFixed(data.unit === "cm" ? 1 : 3);
  const about = data.unit === "in" ? tape(Math.max(2 * give, 1 / 16), true) : (2 * give).toFixed(data.unit === "cm" ? 1 : 3);
  says.textContent = `${round} ${words}, ± ${about} ${words}, measured on the photograph`;
}

function tape(length, up = false) {
  const sixteenths = up ? Math.ceil(length * 16) : Math.round(length * 16);
  let [top, bottom] = [sixteenths % 16, 16];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const whole = Math.floor(sixteenths / 16);
  return [whole || !top ? whole : "", top ? `${top}/${bottom}` : ""].filter((part) => part !== "").join(" ");
}

let focusAfter = null;
function send(values, corner) {
  focusAfter = corner;
  window.htmx.ajax("POST", `/study/${data.study}/look/corrections`, {
    source: "#reading",
    target: "#reading",
    swap: "outerHTML",
    values: { base: data.base, ...values },
  });
}

let loupe = null;
function begin() {
  data = read();
  if (!data) return;
  if (!photo) {
    photo = new View(document.getElementById("photo-view"), {
      width: data.photo.width,
      height: data.photo.height,
      label: "Corners and block grid over the photograph",
      source: {
        width: data.photo.width,
        height: data.photo.height,
        tileSize: data.photo.tile,
        minLevel: 0,
        maxLevel: data.photo.levels - 1,
        getTileUrl: (level, x, y) => `${data.photo.tiles}/${level}/${x}/${y}?k=${data.photo.key}`,
      },
    });
    loupe = new Loupe(photo);
  }
  if (!flat || flatAddress !== data.flat.url) {
    flatAddress = data.flat.url;
    flat?.viewer.destroy();
    const host = document.getElementById("flat-view");
    host.replaceChildren();
    flat = new View(host, {
      width: data.flat.width,
      height: data.flat.height,
      label: "Block grid over the flattened quilt",
      source: { type: "image", url: data.flat.url },
    });
    flat.viewer.addHandler("canvas-click", (event) => {
      if (!measuring || !event.quick) return;
      marks[nextMark] = flat.at(event.originalEvent);
      nextMark = 1 - nextMark;
      drawFlat();
      measured();
    });
  }
  drawPhoto();
  drawFlat();
  if (focusAfter !== null) photo.overlay.querySelectorAll(".handle")[focusAfter]?.focus({ preventScroll: true });
  focusAfter = null;
}

stage.addEventListener("change", (event) => {
  if (event.target.name === "view") {
    stage.dataset.view = event.target.value;
    requestAnimationFrame(() => (event.target.value === "flat" ? flat : photo).whole());
  }
  if (event.target.name?.startsWith("show-")) {
    drawPhoto();
    drawFlat();
  }
});
stage.addEventListener("click", (event) => {
  const view = stage.dataset.view === "flat" ? flat : photo;
  if (event.target.matches("[data-zoom]")) view.zoom(Number(event.target.dataset.zoom));
  if (event.target.matches("[data-whole]")) view.whole();
  if (event.target.matches("[data-measure]")) {
    measuring = !measuring;
    // Two ends to begin with: a click, a drag or the arrow keys put them where they belong.
    marks = [0.3, 0.7].map((part) => [part * flat.width, flat.height / 2]);
    nextMark = 0;
    event.target.setAttribute("aria-pressed", String(measuring));
    stage.classList.toggle("measuring", measuring);
    document.getElementById("measured").hidden = !measuring;
    if (measuring && stage.dataset.view !== "flat") stage.querySelector("input[value=flat]").click();
    drawFlat();
    measured();
  }
});
document.addEventListener("htmx:afterSwap", begin);
begin();
