// The photograph and the flattened quilt, each zoomed and panned, with a drawing laid over it in the picture's own
// pixels. Handles on it are moved with the mouse, a finger or the arrow keys.

const SVG = "http://www.w3.org/2000/svg";

export function make(name, given = {}, children = []) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(given)) node.setAttribute(key, value);
  node.append(...children);
  return node;
}

export const path = (points, closed = false) =>
  points.length ? "M" + points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L") + (closed ? "Z" : "") : "";

// The zooming library looks at every frame of the screen whether anything has moved, and so keeps a processor busy that
// is wanted for the reading. Where all has been still for a moment it is let look a few times a second; whatever may move
// a picture wakes it at once.
const STILL_MS = 400;
const DOZE_MS = 200;
const looks = new Map();
let count = 0;
let moved = 0;

function lookSoon(number) {
  const look = looks.get(number);
  clearTimeout(look.timer);
  look.frame ??= requestAnimationFrame((now) => {
    looks.delete(number);
    look.step(now);
  });
}

function wake() {
  moved = performance.now();
  for (const number of looks.keys()) lookSoon(number);
}

for (const kind of ["pointerdown", "pointermove", "wheel", "touchstart", "keydown", "resize"])
  window.addEventListener(kind, wake, { capture: true, passive: true });

window.OpenSeadragon.requestAnimationFrame = (step) => {
  const number = ++count;
  looks.set(number, { step });
  if (performance.now() - moved < STILL_MS) lookSoon(number);
  else looks.get(number).timer = setTimeout(lookSoon, DOZE_MS, number);
  return number;
};
window.OpenSeadragon.cancelAnimationFrame = (number) => {
  const look = looks.get(number);
  clearTimeout(look?.timer);
  if (look?.frame) cancelAnimationFrame(look.frame);
  looks.delete(number);
};

// A view of one picture. `source` is what the zooming library opens; `width` and `height` are the picture's pixels.
export class View {
  constructor(element, { source, width, height, label }) {
    this.width = width;
    this.height = height;
    this.element = element;
    wake();
    this.overlay = make("svg", { viewBox: `0 0 ${width} ${height}`, class: "overlay", role: "group", "aria-label": label });
    this.viewer = window.OpenSeadragon({
      element,
      tileSources: source,
      showNavigationControl: false,
      drawer: "canvas",
      animationTime: matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 0.3,
      maxZoomPixelRatio: 8,
      visibilityRatio: 0.6,
      gestureSettingsMouse: { clickToZoom: false, dblClickToZoom: true },
      gestureSettingsTouch: { clickToZoom: false },
      keyboardNavEnabled: true,
    });
    // The picture itself takes the keys too, and says so.
    this.viewer.canvas.setAttribute("role", "application");
    this.viewer.canvas.setAttribute("aria-label", "The picture. Arrow keys move it, plus and minus bring it closer or farther, 0 shows the whole.");
    this.viewer.addHandler("open", () => {
      const bounds = this.viewer.world.getItemAt(0).getBounds();
      this.viewer.addOverlay({ element: this.overlay, location: bounds });
      this.steady();
    });
    // Handles keep their size on the screen however far the picture is zoomed.
    this.viewer.addHandler("zoom", () => this.steady());
    this.viewer.addHandler("animation", () => {
      wake();
      this.steady();
    });
    this.viewer.addHandler("tile-loaded", wake);
    this.viewer.addHandler("resize", () => this.steady());
  }

  steady() {
    const item = this.viewer.world.getItemAt(0);
    if (!item) return;
    const shown = item.viewportToImageZoom(this.viewer.viewport.getZoom(true)) || 1;
    this.overlay.style.setProperty("--px", String(1 / shown));
    for (const handle of this.overlay.querySelectorAll("[data-radius]"))
      handle.setAttribute("r", handle.dataset.radius / shown);
    for (const handle of this.overlay.querySelectorAll("[data-at]"))
      handle.setAttribute("transform", `translate(${handle.dataset.at}) rotate(45) scale(${1 / shown})`);
  }

  redraw(children) {
    this.overlay.replaceChildren(...children);
    this.steady();
  }

  // Where an event lies, in the picture's pixels.
  at(event) {
    const box = this.overlay.getBoundingClientRect();
    return [
      ((event.clientX - box.left) / box.width) * this.width,
      ((event.clientY - box.top) / box.height) * this.height,
    ];
  }

  zoom(factor) {
    wake();
    this.viewer.viewport.zoomBy(factor);
    this.viewer.viewport.applyConstraints();
  }

  whole() {
    wake();
    this.viewer.viewport.goHome();
  }

  canvas() {
    return this.viewer.drawer.canvas;
  }
}

// Let a handle be moved: `move(point)` is told where to while it moves, `done(point)` once it stays.
export function movable(view, handle, { at, move, done, step = 1, axis = "both" }) {
  let point = at;
  const limited = ([x, y]) => [
    Math.min(Math.max(axis === "y" ? point[0] : x, -0.25 * view.width), 1.25 * view.width),
    Math.min(Math.max(axis === "x" ? point[1] : y, -0.25 * view.height), 1.25 * view.height),
  ];
  handle.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    event.stopPropagation();
    handle.focus();
    handle.setPointerCapture(event.pointerId);
    let moved = false;
    const go = (next) => {
      moved = true;
      point = limited(view.at(next));
      move(point, next);
    };
    const stay = () => {
      handle.removeEventListener("pointermove", go);
      handle.removeEventListener("pointerup", stay);
      handle.removeEventListener("pointercancel", stay);
      if (moved) done(point);
      else move(point, null);
    };
    handle.addEventListener("pointermove", go);
    handle.addEventListener("pointerup", stay);
    handle.addEventListener("pointercancel", stay);
  });
  let waiting = 0;
  handle.addEventListener("keydown", (event) => {
    const steps = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!steps) return;
    event.preventDefault();
    event.stopPropagation();
    const size = step * (event.shiftKey ? 10 : 1);
    point = limited([point[0] + steps[0] * size, point[1] + steps[1] * size]);
    move(point, null);
    clearTimeout(waiting);
    // Several presses are one change.
    waiting = setTimeout(() => done(point), 700);
  });
}

// A round glass that shows what lies under a point, four times as large.
export class Loupe {
  constructor(view) {
    this.view = view;
    this.glass = document.createElement("canvas");
    this.glass.width = this.glass.height = 160;
    this.glass.className = "loupe";
    this.glass.hidden = true;
    view.element.append(this.glass);
  }

  show([x, y]) {
    const screen = this.view.overlay.getBoundingClientRect();
    const outer = this.view.element.getBoundingClientRect();
    const left = screen.left - outer.left + (x / this.view.width) * screen.width;
    const top = screen.top - outer.top + (y / this.view.height) * screen.height;
    const source = this.view.canvas();
    const ratio = source.width / outer.width;
    const pen = this.glass.getContext("2d");
    const half = 20;
    pen.fillStyle = "#000";
    pen.fillRect(0, 0, 160, 160);
    pen.drawImage(source, (left - half) * ratio, (top - half) * ratio, 2 * half * ratio, 2 * half * ratio, 0, 0, 160, 160);
    pen.strokeStyle = "#ffe9a8";
    pen.lineWidth = 1.5;
    pen.beginPath();
    pen.moveTo(80, 56);
    pen.lineTo(80, 104);
    pen.moveTo(56, 80);
    pen.lineTo(104, 80);
    pen.stroke();
    // Beside the point, on the side where there is room.
    const right = left + 24 + 160 < outer.width;
    const below = top - 180 < 0;
    this.glass.style.left = `${right ? left + 24 : left - 184}px`;
    this.glass.style.top = `${below ? top + 24 : top - 184}px`;
    this.glass.hidden = false;
  }

  hide() {
    this.glass.hidden = true;
  }
}
