// The page on fabrics: one fabric chosen, every block that has it lit up on the quilt laid flat.

const holder = document.getElementById("fabric-data");
const data = JSON.parse(holder.dataset.fabrics);
const lit = document.getElementById("lit");
const says = document.getElementById("lit-says");
const none = document.getElementById("lit-none");
const alike = document.getElementById("with-alike");
const inOthers = document.getElementById("in-others");
let chosen = -1;

const path = (ring) => "M" + ring.map(([x, y]) => `${x} ${y}`).join("L") + "Z";

function shown() {
  if (chosen < 0) return [];
  return alike.checked ? [chosen, ...data.fabrics[chosen].alike] : [chosen];
}

function count(number, one, many) {
  return `${number} ${number === 1 ? one : many}`;
}

function draw() {
  const fabrics = shown();
  const patches = fabrics.flatMap((index) => data.fabrics[index].patches).filter((spot) => data.patches[spot]);
  const blocks = [...new Set(patches.map((spot) => spot.split(",", 2).join(",")))];
  const { width, height } = data.flat;
  const rings = patches.map((spot) => path(data.patches[spot])).join("");
  const whole = `M0 0H${width}V${height}H0Z`;
  const part = (name) => lit.querySelector(name);
  part(".shade").setAttribute("d", patches.length ? whole + rings : "");
  part(".lit-patches").setAttribute("d", rings);
  part(".lit-blocks").setAttribute("d", blocks.map((spot) => path(data.blocks[spot])).join(""));
  for (const button of document.querySelectorAll("[data-fabric]"))
    button.setAttribute("aria-pressed", String(fabrics.includes(Number(button.dataset.fabric))));
  none.disabled = chosen < 0;
  lit.dispatchEvent(new CustomEvent("fabric-chosen", { detail: chosen }));
  inOthers.hidden = chosen < 0;
  inOthers.href = inOthers.dataset.base + (chosen + 1);
  if (chosen < 0) {
    says.textContent = "Tap a fabric, or a patch of the quilt, and every block that has it lights up.";
    return;
  }
  const others = data.fabrics[chosen].alike.length;
  const where = `${count(patches.length, "patch", "patches")} in ${count(blocks.length, "block", "blocks")}`;
  const near = others ? `; ${count(others, "other is", "others are")} of nearly its color and may be the same cloth` : "";
  says.textContent = alike.checked && others
    ? `${data.fabrics[chosen].called} and ${count(others, "other", "others")} of nearly its color: ${where}.`
    : `${data.fabrics[chosen].called}, ${data.fabrics[chosen].value}: ${where}${near}.`;
}

function choose(index) {
  chosen = index === chosen ? -1 : index;
  draw();
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-fabric]");
  if (button) choose(Number(button.dataset.fabric));
});
alike.addEventListener("change", draw);
none.addEventListener("click", () => choose(chosen));
lit.addEventListener("choose-fabric", (event) => {
  if (event.detail !== chosen) choose(event.detail);
});

function inside(px, py, ring) {
  let odd = false;
  ring.forEach(([x0, y0], index) => {
    const [x1, y1] = ring[(index + 1) % ring.length];
    if (y0 > py !== y1 > py && px < x0 + ((py - y0) / (y1 - y0)) * (x1 - x0)) odd = !odd;
  });
  return odd;
}

lit.addEventListener("click", (event) => {
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(lit.getScreenCTM().inverse());
  const spot = Object.keys(data.patches).find((each) => inside(x, y, data.patches[each]));
  // While patches are marked, a tap on one of the fabric marks it.
  if (!lit.dispatchEvent(new CustomEvent("patch-tapped", { detail: spot, cancelable: true }))) return;
  const index = spot ? data.fabrics.findIndex((fabric) => fabric.patches.includes(spot)) : -1;
  if (index < 0) {
    says.textContent = "No patch was read there: sashing and border are not gathered, nor is what lies outside the blocks.";
    return;
  }
  chosen = -1;
  choose(index);
  const button = document.getElementById(`fabric-${index}`);
  const folded = button.closest("details");
  if (folded) folded.open = true;
  // On a wide page the list stands beside the quilt; on a narrow one the quilt stays in view.
  if (matchMedia("(min-width: 56rem)").matches) button.scrollIntoView({ block: "nearest" });
});
