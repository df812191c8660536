// The page on looking: corners and edges on the photograph, the block grid on the flattened quilt, measuring.

import { Turns } from "./turns.js";
import { Loupe, View, make, movable, path } from "./viewer.js";

const stage = document.getElementById("stage");
const names = ["top left", "top right", "bottom right", "bottom left"];
const sides = ["top", "right", "bottom", "left"];
let data = null;
let photo = null;
let flat = null;
let flatAddress = "";
let measuring = false;
let marks = [];
let nextMark = 0;

function read() {
  const node = document.getElementById("look-data");
  return node ? JSON.parse(node.dataset.reading) : null;
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
    const odd = !cell.read || cell.turn || cell.mirrored || cell.differs;
    if (!odd || !shown("odd")) continue;
    const how = cell.read
      ? [cell.mirrored && "mirrored", cell.turn && `turned ${cell.turn} degrees`, cell.differs && "differs from the rest"]
      : ["not read"];
    const says =
      `${cell.between ? "Between the rows, row" : "Row"} ${cell.row + 1}, column ${cell.column + 1}: ` +
      how.filter(Boolean).join(", ");
    drawn.push(make("path", { d: path(cell[which], true), class: cell.read ? "odd" : "not-read" }, [title(says)]));
  }
  return drawn;
}

function outlines(which) {
  return data.on_point ? [make("path", { d: data.cells.map((cell) => path(cell[which], true)).join(""), class: "line grid" })] : [];
}

function title(words) {
  const node = make("title");
  node.textContent = words;
  return node;
}

function drawPhoto() {
  const children = [];
  children.push(make("path", { d: path(data.edges.flat(), true), class: "line edge" }));
  if (shown("grid")) children.push(...lines(data.columns, "photo", "grid"), ...lines(data.rows, "photo", "grid"), ...outlines("photo"));
  if (shown("seams")) children.push(make("path", { d: data.seams.map((ring) => path(ring.photo, true)).join(""), class: "seams" }));
  children.push(...cells("photo"));
  data.corners.forEach((corner, index) => {
    const handle = make("circle", {
      cx: corner[0], cy: corner[1], "data-radius": 13, class: "handle", tabindex: 0, role: "button", id: `corner-${index}`,
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
        outline(now.map((each, at) => [each, now[(at + 1) % 4]]));
        if (event) loupe.show(point);
        else loupe.hide();
      },
      done: (point) => {
        loupe.hide();
        send(() => {
          const corners = data.corners.map((each, at) => (at === index ? point : each));
          return { corners: JSON.stringify(corners.map((each) => each.map(tenth))) };
        }, `corner-${index}`);
      },
    });
    children.push(handle, dot);
  });
  data.edges.forEach((edge, index) => {
    const middle = edge[Math.floor(edge.length / 2)];
    const handle = make("rect", {
      x: -7, y: -7, width: 14, height: 14, "data-at": middle.join(" "), class: "handle bow", tabindex: 0, role: "button", id: `edge-${index}`,
      "aria-label": `Middle of the ${sides[index]} edge. Arrow keys bow the edge.`,
    });
    movable(photo, handle, {
      at: middle,
      step: Math.max(1, photo.width / 2000),
      move: (point, event) => {
        handle.dataset.at = point.join(" ");
        photo.steady();
        outline(data.edges.map((each, at) => (at === index ? through(each, point) : each)));
        if (event) loupe.show(point);
        else loupe.hide();
      },
      done: (point) => {
        loupe.hide();
        send(() => ({ edge: JSON.stringify([index, ...point.map(tenth)]) }), `edge-${index}`);
      },
    });
    children.push(handle);
  });
  photo.redraw(children);
}

const tenth = (x) => Math.round(x * 10) / 10;

function outline(edges) {
  photo.overlay.querySelector(".edge").setAttribute("d", path(edges.flat(), true));
}

// An edge as it runs when its middle is dragged to a point: most there, not at all at the corners.
function through(edge, [x, y]) {
  const last = edge.length - 1;
  const [mx, my] = edge[Math.floor(edge.length / 2)];
  return edge.map(([ex, ey], at) => {
    const share = (4 * at * (last - at)) / last ** 2;
    return [ex + (x - mx) * share, ey + (y - my) * share];
  });
}

// The flattened quilt is fetched when it is looked at, and again when it has changed.
function layFlat() {
  if (flat && flatAddress === data.flat.url) return;
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

function drawFlat() {
  if (stage.dataset.view !== "flat") return;
  layFlat();
  const children = [];
  if (shown("seams")) children.push(make("path", { d: data.seams.map((ring) => path(ring.flat, true)).join(""), class: "seams" }));
  children.push(...cells("flat"));
  if (shown("grid")) children.push(...outlines("flat"));
  if (shown("grid"))
    for (const [list, kind, axis] of [[data.columns, "column", "x"], [data.rows, "row", "y"]])
      list.forEach((line, index) => {
        const at = line.flat[0][axis === "x" ? 0 : 1];
        const drawn = make("path", { d: path(line.flat), class: "line grid" });
        const grip = make("path", {
          d: path(line.flat), class: "grip", tabindex: 0, role: "button", id: `${kind}-${index}`,
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
            send(() => {
              const now = { column: data.columns, row: data.rows }[kind][index] ?? line;
              return { [`${kind}_line`]: JSON.stringify([now.part, Math.round(Math.min(Math.max(part, 0), 1) * 1e5) / 1e5]) };
            }, `${kind}-${index}`);
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
  const [across, down] = data.flat.perUnit;
  const length = Math.hypot((x1 - x0) / across, (y1 - y0) / down);
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

// The last move of each handle, worked out on what came back from the correction before.
const turns = new Turns();
function send(values, handle) {
  turns.take(async () => {
    stage.setAttribute("aria-busy", "true");
    try {
      await window.htmx.ajax("POST", `/study/${data.study}/look/corrections`, {
        source: "#reading",
        target: "#reading",
        swap: "outerHTML",
        values: { base: data.base, ...values() },
      });
    } finally {
      stage.removeAttribute("aria-busy");
    }
  }, handle);
}

// A reading that takes longer than a moment says how far it is, and can be stopped.
const again = document.getElementById("again");
const waited = /\/look\/(corrections|tape)$/;
let asking = 0;
document.addEventListener("htmx:beforeRequest", (event) => {
  if (!waited.test(event.detail.pathInfo.requestPath)) return;
  clearInterval(asking);
  const address = `/study/${data.study}/look/again`;
  asking = setInterval(async () => {
    const answer = await fetch(address).catch(() => null);
    if (!asking || answer?.status !== 200) return;
    const { stage: says, part } = await answer.json();
    again.hidden = false;
    document.getElementById("again-says").textContent = says;
    document.getElementById("again-part").value = part;
  }, 500);
});
for (const end of ["htmx:afterRequest", "htmx:sendError"])
  document.addEventListener(end, (event) => {
    if (!waited.test(event.detail.pathInfo?.requestPath ?? "")) return;
    clearInterval(asking);
    asking = 0;
    again.hidden = true;
  });
document.getElementById("again-stop")?.addEventListener("click", () => fetch(`/study/${data.study}/look/again/stop`, { method: "POST" }));

let loupe = null;
function begin() {
  data = read();
  if (!data) return;
  const held = document.activeElement?.id;
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
  drawPhoto();
  drawFlat();
  // The handle the hand or the keys are on now, which need not be the one whose answer came.
  if (held && document.activeElement === document.body) document.getElementById(held)?.focus({ preventScroll: true });
}

// What she had chosen to see is still chosen when the page is loaded again, after undoing say.
const remembered = `seamlore-look-${data?.study ?? read()?.study}`;
function remember() {
  const boxes = [...stage.querySelectorAll("input[name^=show-]")].map((box) => [box.name, box.checked]);
  sessionStorage.setItem(remembered, JSON.stringify({ view: stage.dataset.view, boxes }));
}
function recall() {
  const kept = JSON.parse(sessionStorage.getItem(remembered) ?? "null");
  if (!kept) return;
  for (const [name, checked] of kept.boxes) stage.querySelector(`input[name=${name}]`).checked = checked;
  if (kept.view === "flat") stage.querySelector("input[value=flat]").click();
  drawPhoto();
  drawFlat();
}

stage.addEventListener("change", (event) => {
  if (event.target.name === "view") {
    stage.dataset.view = event.target.value;
    remember();
    drawFlat();
    requestAnimationFrame(() => (event.target.value === "flat" ? flat : photo).whole());
  }
  if (event.target.name?.startsWith("show-")) {
    remember();
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
    marks = [0.3, 0.7].map((part) => [part * data.flat.width, data.flat.height / 2]);
    nextMark = 0;
    event.target.setAttribute("aria-pressed", String(measuring));
    stage.classList.toggle("measuring", measuring);
    document.getElementById("measured").hidden = !measuring;
    if (measuring && stage.dataset.view !== "flat") stage.querySelector("input[value=flat]").click();
    drawFlat();
    measured();
  }
});
// Told once for each part that came; only a new reading is drawn anew.
let drawnFrom = document.getElementById("look-data");
document.addEventListener("htmx:afterSwap", () => {
  const now = document.getElementById("look-data");
  if (now && now !== drawnFrom) {
    drawnFrom = now;
    begin();
  }
});
begin();
recall();
