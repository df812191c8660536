// The block's editor: patches, seams and the grid as one drawing; a point on the grid that the hand or the keys move.

import { Turns } from "./turns.js";

const SVG = "http://www.w3.org/2000/svg";
const SIDE = 1000;

function make(name, given = {}, text = "") {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(given)) node.setAttribute(key, value);
  if (text) node.textContent = text;
  return node;
}

const path = (points, closed = false) =>
  "M" + points.map(([x, y]) => `${x * SIDE} ${y * SIDE}`).join("L") + (closed ? "Z" : "");

// A number of divisions in words: 2 1/2.
function counted(value) {
  const halves = Math.round(value * 2);
  if (Math.abs(halves / 2 - value) > 0.001) return value.toFixed(2);
  const whole = Math.floor(halves / 2);
  return halves % 2 ? `${whole || ""} 1/2`.trim() : String(whole);
}

function inside([px, py], ring) {
  let odd = false;
  ring.forEach(([x0, y0], index) => {
    const [x1, y1] = ring[(index + 1) % ring.length];
    if (y0 > py !== y1 > py && px < x0 + ((py - y0) / (y1 - y0)) * (x1 - x0)) odd = !odd;
  });
  return odd;
}

function distance([px, py], [[x0, y0], [x1, y1]]) {
  const [dx, dy] = [x1 - x0, y1 - y0];
  const along = Math.min(Math.max(((px - x0) * dx + (py - y0) * dy) / (dx * dx + dy * dy), 0), 1);
  return Math.hypot(px - x0 - along * dx, py - y0 - along * dy);
}

// How near the hand must come to be meant, and how fine it is put down: as the server does in drawing the seam.
const REACH = 1 / 40;
const PARTS_OF_SEAM = 24;
const FINER = 8;

export class Editor {
  constructor() {
    this.tool = "seam";
    this.free = false;
    this.brush = "";
    this.cursor = { x: 0.5, y: 0.5, exact: ["1/2", "1/2"] };
    this.start = null;
    this.shownUnit = "";
    this.turns = new Turns();
    this.listening = new AbortController();
  }

  // Show a block; called again after every edit, the point and the tool stay where they were, and so does the begin of a
  // seam where the answer is to an edit drawn here.
  show(host, data) {
    this.host = host;
    this.data = data;
    // What stays on the page through an edit is listened to once.
    this.listening.abort();
    this.listening = new AbortController();
    const first = !this.key;
    this.key = `seam of ${data.study}, ${data.kind}`;
    if (!this.turns.busy) this.start = null;
    // A seam that was begun before the page was loaded again is still begun.
    if (first) this.#takeUp();
    if (/^[A-Z]$/.test(this.brush) && !data.places[this.brush]) this.brush = "";
    this.cursor = this.#snap([this.cursor.x, this.cursor.y], Infinity);
    this.svg = make("svg", { viewBox: `-24 -24 ${SIDE + 48} ${SIDE + 48}`, "aria-hidden": "true" });
    this.#draw();
    host.replaceChildren(this.svg);
    if (first && this.start) this.#say("A seam is begun: tap where it ends; Escape gives it up.");
    this.#listen();
    this.#tools();
    this.#units();
    this.#photograph();
  }

  #on(node, what, heard) {
    node.addEventListener(what, heard, { signal: this.listening.signal });
  }

  #takeUp() {
    try {
      const begun = JSON.parse(sessionStorage.getItem(this.key));
      if (!begun) return;
      [this.start, this.free] = [begun.start, begun.free];
    } catch {
      // A browser that keeps nothing, or something else under this name: no seam is begun.
    }
  }

  #keep() {
    try {
      if (this.start) sessionStorage.setItem(this.key, JSON.stringify({ start: this.start, free: this.free }));
      else sessionStorage.removeItem(this.key);
    } catch {
      // A browser that keeps nothing.
    }
  }

  // The photograph of one block under the drawing; it stays there through edits of the same kind.
  #photograph() {
    const choice = this.host.closest(".block-bench").querySelector("#under");
    const shown = () => {
      const at = choice?.value ?? "";
      this.svg.classList.toggle("over-photo", at !== "");
      if (at) this.photo.setAttribute("href", `/study/${this.data.study}/draft/under/${at}.jpg`);
      else this.photo.removeAttribute("href");
    };
    if (!choice) return;
    if (this.under && [...choice.options].some((each) => each.value === this.under)) choice.value = this.under;
    this.#on(choice, "change", (event) => {
      event.stopPropagation();
      this.under = choice.value;
      shown();
    });
    shown();
  }

  #draw() {
    const { patches, places, seams, divisions, corners } = this.data;
    this.rings = patches.map((each) =>
      make("path", { d: path(each.points, true), fill: places[each.place].paint, class: "patch" }),
    );
    const grid = make("g", { class: "grid" });
    for (let row = 0; row <= 2 * divisions; row++)
      for (let column = 0; column <= 2 * divisions; column++) {
        const half = row % 2 || column % 2;
        if (half && divisions > 10) continue;
        grid.append(
          make("circle", { cx: (column / divisions / 2) * SIDE, cy: (row / divisions / 2) * SIDE, r: half ? 3.5 : 7, class: half ? "half" : "whole" }),
        );
      }
    for (const corner of corners)
      if (!this.#onGrid(corner)) grid.append(make("circle", { cx: corner.x * SIDE, cy: corner.y * SIDE, r: 7, class: "corner" }));
    this.lines = seams.map((seam) => make("path", { d: path(seam.at), class: "seam" }));
    const letters = patches.map((each) => {
      const [x, y, room] = each.spot;
      const size = Math.min(Math.max(room * SIDE * 0.85, 20), 64);
      return make("text", { x: x * SIDE, y: y * SIDE + size * 0.35, "font-size": size, fill: places[each.place].ink, class: "letter" }, each.place);
    });
    this.hot = make("path", { class: "hot" });
    this.rubber = make("path", { class: "rubber" });
    this.mark = make("path", { class: "cursor" });
    this.dot = make("circle", { r: 9, class: "begun" });
    this.photo = make("image", { width: SIDE, height: SIDE, preserveAspectRatio: "none" });
    this.svg.append(this.photo, ...this.rings, ...this.lines, make("rect", { width: SIDE, height: SIDE, class: "rim" }), ...letters, grid, this.hot, this.rubber, this.dot, this.mark);
    this.#point();
  }

  #onGrid({ x, y }) {
    const even = (value) => Math.abs(value * 2 * this.data.divisions - Math.round(value * 2 * this.data.divisions)) < 1e-6;
    return even(x) && even(y);
  }

  // Where a free hand is put: on a corner or the grid near by, on a seam, else on a finer grid, until it stays there.
  #snapFree(spot) {
    let put = spot;
    // From the finer grid to a seam, from there to a corner, and there it stays.
    for (let moves = 0; moves < 4; moves++) put = this.#put(put);
    return this.#freely(put);
  }

  #put([x, y]) {
    const { divisions, corners, patches } = this.data;
    const reach = Math.min(REACH, 1 / (8 * divisions));
    const far = (spot) => Math.hypot(spot[0] - x, spot[1] - y);
    const nearest = (spots) => spots.reduce((best, spot) => (far(spot) < far(best) - 1e-9 ? spot : best));
    const on = (parts) => [x, y].map((value) => Math.min(Math.max(Math.round(value * parts) / parts, 0), 1));
    const corner = nearest([on(2 * divisions), ...corners.map((each) => [each.x, each.y])]);
    if (far(corner) <= reach) return corner;
    const seams = patches.flatMap(({ points }) =>
      points.map(([x0, y0], index) => {
        const [x1, y1] = points[(index + 1) % points.length];
        const [dx, dy] = [x1 - x0, y1 - y0];
        const share = Math.min(Math.max(((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy), 0), 1);
        const part = Math.round(share * PARTS_OF_SEAM) / PARTS_OF_SEAM;
        return [x0 + part * dx, y0 + part * dy];
      }),
    );
    const seam = nearest(seams);
    if (far(seam) < 1e-6) return [x, y];
    return far(seam) <= reach ? seam : on(FINER * divisions);
  }

  // The server puts the point down exactly; what is sent only has to be near.
  #freely([x, y]) {
    return { x, y, exact: [x, y].map((value) => `${Math.round(value * 100000)}/100000`) };
  }

  // The point of the grid, or corner of a patch, nearest to a place.
  #snap([x, y], reach = 0.06) {
    if (this.free) return this.#snapFree([x, y]);
    const fine = 2 * this.data.divisions;
    const on = (value) => Math.min(Math.max(Math.round(value * fine), 0), fine);
    const [column, row] = [on(x), on(y)];
    let best = { x: column / fine, y: row / fine, exact: [`${column}/${fine}`, `${row}/${fine}`] };
    let near = Math.hypot(best.x - x, best.y - y);
    for (const corner of this.data.corners) {
      // A corner draws a little more than a point of the grid.
      const far = 0.85 * Math.hypot(corner.x - x, corner.y - y);
      if (far < near && far < Math.max(reach, 0.5 / fine)) [best, near] = [corner, far];
    }
    return best;
  }

  #at(event) {
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [spot.x / SIDE, spot.y / SIDE];
  }

  #patchAt(spot) {
    return this.data.patches.findIndex((each) => inside(spot, each.points));
  }

  #seamAt(spot, reach) {
    let [best, near] = [-1, reach];
    this.data.seams.forEach((seam, index) => {
      const far = distance(spot, seam.at);
      if (far < near) [best, near] = [index, far];
    });
    return best;
  }

  #point() {
    const [x, y] = [this.cursor.x * SIDE, this.cursor.y * SIDE];
    this.mark.setAttribute("d", `M${x - 22} ${y}H${x + 22}M${x} ${y - 22}V${y + 22}`);
    this.dot.toggleAttribute("hidden", !this.start);
    this.#keep();
    if (this.start) {
      this.dot.setAttribute("cx", this.start.x * SIDE);
      this.dot.setAttribute("cy", this.start.y * SIDE);
      this.rubber.setAttribute("d", path([[this.start.x, this.start.y], [this.cursor.x, this.cursor.y]]));
    } else this.rubber.setAttribute("d", "");
  }

  #say(words) {
    document.getElementById("editor-where").textContent = words;
  }

  #where() {
    const { x, y } = this.cursor;
    const parts = this.data.divisions;
    const seam = this.#seamAt([x, y], 0.002);
    const patch = this.#patchAt([x, y]);
    const under =
      seam >= 0
        ? `on a seam between ${this.data.seams[seam].patches.map((index) => this.#called(index)).join(" and ")}`
        : patch >= 0
          ? `in ${this.#called(patch)}`
          : "on the edge";
    return `${counted(x * parts)} across, ${counted(y * parts)} down, ${under}`;
  }

  #called(index) {
    const { place } = this.data.patches[index];
    const { value } = this.data.places[place];
    return `patch ${index + 1}, ${place}, ${value}`;
  }

  #send(what, values) {
    return window.htmx.ajax("POST", `/study/${this.data.study}/draft/block/${what}`, {
      source: "#editor",
      target: "#draft",
      swap: "outerHTML",
      values: { base: this.data.base, kind: this.data.kind, ...values },
    });
  }

  #seam(end) {
    const { start, free } = this;
    this.start = null;
    this.#point();
    if (start.x === end.x && start.y === end.y) return;
    const values = { start: start.exact.join(","), end: end.exact.join(","), free: free ? "yes" : "" };
    this.turns.take(() => this.#send("seam", values));
  }

  // What lies at a spot is looked up when its turn comes: the seam drawn just before may have cut the patch.
  #takeOut(spot, reach) {
    this.turns.take(() => {
      const found = this.#seamAt(spot, reach);
      if (found < 0) return this.#say("No seam lies there.");
      const [first, second] = this.data.seams[found].patches;
      return this.#send("take-out", { first, second });
    });
  }

  #color(spot, place) {
    this.turns.take(() => {
      const patch = this.#patchAt(spot);
      if (patch < 0) return this.#say("No patch lies under the point: move it off the seam.");
      if (place.startsWith("fabric ")) return this.#send("swatch", { patch, fabric: place.slice(7) });
      const free = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].find((letter) => !this.data.places[letter]);
      const letter = place === "new" ? free : place;
      if (!letter) return this.#say("Choose a place first.");
      if (this.data.patches[patch].place === letter) return this.#say(`${this.#called(patch)}: it has that place.`);
      // Further taps go on with the new place.
      if (place === "new") this.brush = letter;
      return this.#send("place", { patch, place: letter });
    });
  }

  #listen() {
    let drawing = false;
    this.#on(this.svg, "pointerdown", (event) => {
      if (event.button) return;
      this.host.focus({ preventScroll: true });
      const spot = this.#at(event);
      if (this.tool === "out") return this.#takeOut(spot, 0.05);
      if (this.tool === "place") return this.#color(spot, this.brush);
      event.preventDefault();
      const here = this.#snap(spot);
      this.cursor = here;
      // A second tap ends the seam that a first one began.
      if (this.start) return this.#seam(here);
      this.start = here;
      drawing = true;
      this.svg.setPointerCapture(event.pointerId);
      this.#point();
    });
    this.#on(this.svg, "pointermove", (event) => {
      const spot = this.#at(event);
      this.hot.setAttribute("d", "");
      if (this.tool === "out") {
        const found = this.#seamAt(spot, 0.05);
        if (found >= 0) {
          const [first, second] = this.data.seams[found].patches;
          const same = this.data.seams.filter((seam) => seam.patches[0] === first && seam.patches[1] === second);
          this.hot.setAttribute("d", same.map((seam) => path(seam.at)).join(""));
        }
      } else if (this.tool === "seam" && (this.start || drawing)) {
        this.cursor = this.#snap(spot);
        this.#point();
      }
    });
    this.#on(this.svg, "pointerup", () => {
      if (!drawing) return;
      drawing = false;
      const moved = this.start && (this.start.x !== this.cursor.x || this.start.y !== this.cursor.y);
      if (moved) this.#seam(this.cursor);
      else if (this.start) this.#say(`Seam begun at ${this.#where()}. Tap where it ends.`);
    });
    this.#on(this.svg, "pointerleave", () => this.hot.setAttribute("d", ""));
    this.#on(this.host, "keydown", (event) => this.#key(event));
    this.#on(this.host, "focus", () => this.#say(this.#where()));
  }

  #key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step = event.shiftKey ? (this.free ? FINER : 2) : 1;
    const fine = (this.free ? FINER : 2) * this.data.divisions;
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    if (ways[event.key]) {
      const [dx, dy] = ways[event.key];
      const move = (value, by) => Math.min(Math.max((by > 0 ? Math.floor(value * fine + 1e-6) : Math.ceil(value * fine - 1e-6)) + by * step, 0), fine);
      const column = dx ? move(this.cursor.x, dx) : Math.round(this.cursor.x * fine);
      const row = dy ? move(this.cursor.y, dy) : Math.round(this.cursor.y * fine);
      this.cursor = { x: column / fine, y: row / fine, exact: [`${column}/${fine}`, `${row}/${fine}`] };
    } else if (event.key === "." || event.key === ",") {
      const all = this.data.corners;
      const at = all.findIndex((each) => each.x === this.cursor.x && each.y === this.cursor.y);
      this.cursor = all[(at + (event.key === "." ? 1 : all.length - 1) + all.length) % all.length];
    } else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      if (this.start) return this.#seam(this.cursor);
      this.start = this.cursor;
      this.#point();
      return this.#say(`Seam begun at ${this.#where()}. Move, then Enter ends it.`);
    } else if (event.key === "Escape") {
      this.start = null;
      this.#point();
      return this.#say("Seam given up.");
    } else if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      return this.#takeOut([this.cursor.x, this.cursor.y], Infinity);
    } else if (event.key === "+") {
      event.preventDefault();
      return this.#color([this.cursor.x, this.cursor.y], this.brush);
    } else if (/^[a-z]$/i.test(event.key)) {
      event.preventDefault();
      return this.#color([this.cursor.x, this.cursor.y], event.key.toUpperCase());
    } else return;
    event.preventDefault();
    this.#point();
    this.#say((this.start ? "Seam to " : "") + this.#where());
  }

  #tools() {
    const bench = this.host.closest(".block-bench");
    const brushes = bench.querySelectorAll("[data-brush]");
    const show = () => {
      bench.querySelector(`input[name=tool][value=${this.tool}]`).checked = true;
      this.host.dataset.tool = this.tool;
      for (const brush of brushes) brush.setAttribute("aria-pressed", String(this.tool === "place" && brush.dataset.brush === this.brush));
    };
    const freeHand = bench.querySelector("#free-hand");
    freeHand.checked = this.free;
    this.#on(freeHand, "change", (event) => {
      event.stopPropagation();
      this.free = freeHand.checked;
      this.start = null;
      this.cursor = this.#snap([this.cursor.x, this.cursor.y], Infinity);
      this.#point();
      this.#say(this.free ? "Seams may run anywhere now." : "Seams run from point to point of the grid.");
    });
    for (const radio of bench.querySelectorAll("input[name=tool]"))
      this.#on(radio, "change", (event) => {
        event.stopPropagation();
        this.tool = radio.value;
        if (this.tool === "place") this.brush ||= Object.keys(this.data.places)[0];
        show();
      });
    for (const brush of brushes)
      this.#on(brush, "click", () => {
        this.tool = "place";
        this.brush = brush.dataset.brush;
        show();
        const number = this.brush.startsWith("fabric ") ? Number(this.brush.slice(7)) + 1 : 0;
        if (number) this.#say(`Tap the patches to cut from fabric ${number}; by keyboard, + colors the patch under the point.`);
        else this.#say(this.brush === "new" ? "Tap the patch that gets a place of its own." : `Tap the patches of place ${this.brush}.`);
      });
    show();
  }

  // A kind of unit alone, the rest dimmed.
  #units() {
    const buttons = this.host.closest(".block-bench").querySelectorAll("[data-unit-kind]");
    const show = () => {
      const lit = new Set(this.data.units.filter((unit) => unit.kind === this.shownUnit).flatMap((unit) => unit.patches));
      if (!lit.size) this.shownUnit = "";
      this.rings.forEach((ring, index) => ring.classList.toggle("dim", lit.size > 0 && !lit.has(index)));
      for (const button of buttons) button.setAttribute("aria-pressed", String(button.dataset.unitKind === this.shownUnit));
    };
    for (const button of buttons)
      this.#on(button, "click", () => {
        this.shownUnit = this.shownUnit === button.dataset.unitKind ? "" : button.dataset.unitKind;
        show();
      });
    show();
  }
}
