// The page on fabrics: what is said of one fabric goes with the fabric that is lit up; patches of it are marked to be split off.

const data = JSON.parse(document.getElementById("fabric-data").dataset.fabrics);
const lit = document.getElementById("lit");
const part = (name) => document.getElementById(`found-${name}`);
const [fabric, name, other, mark, split, back, list] = ["fabric", "name", "other", "mark", "split", "back", "patches"].map(part);

const marking = () => mark.getAttribute("aria-pressed") === "true";
const marked = () => [...list.querySelectorAll("input:checked")];

function words(spot) {
  const [row, column, patch] = spot.replace("b", "").split(",").map(Number);
  const between = spot.startsWith("b") ? "between the rows, " : "";
  return `${between}row ${row + 1}, column ${column + 1}, patch ${patch + 1}`;
}

function shown() {
  const index = Number(fabric.value);
  const now = data.fabrics[index];
  name.value = fabric.selectedOptions[0].dataset.said && !/^Fabric \d+$/.test(now.called) ? now.called : "";
  back.disabled = !fabric.selectedOptions[0].dataset.said;
  if (other) {
    for (const option of other.options) option.hidden = option.value === fabric.value;
    other.querySelector('[value="alike"]').disabled = !now.alike.length;
    other.value = now.alike.length ? String(now.alike[0]) : [...other.options].find((option) => !option.hidden && !option.disabled).value;
  }
  list.replaceChildren(
    ...now.patches.map((spot) => {
      const item = document.createElement("li");
      const label = document.createElement("label");
      const box = document.createElement("input");
      Object.assign(box, { type: "checkbox", name: "patch", value: spot });
      label.className = "check";
      label.append(box, ` ${words(spot)}`);
      item.append(label);
      return item;
    }),
  );
  drawn();
}

function drawn() {
  list.hidden = !marking();
  const spots = marked().map((box) => box.value);
  split.disabled = !marking() || !spots.length || spots.length === list.children.length;
  const rings = spots.filter((spot) => data.patches[spot]).map((spot) => data.patches[spot]);
  lit.querySelector(".lit-marked").setAttribute(
    "d",
    rings.map((ring) => "M" + ring.map(([x, y]) => `${x} ${y}`).join("L") + "Z").join(""),
  );
}

fabric.addEventListener("change", () => {
  lit.dispatchEvent(new CustomEvent("choose-fabric", { detail: Number(fabric.value) }));
  shown();
});
lit.addEventListener("fabric-chosen", (event) => {
  if (event.detail < 0 || String(event.detail) === fabric.value) return;
  fabric.value = String(event.detail);
  shown();
});
mark.addEventListener("click", () => {
  mark.setAttribute("aria-pressed", String(!marking()));
  if (marking()) lit.dispatchEvent(new CustomEvent("choose-fabric", { detail: Number(fabric.value) }));
  drawn();
});
list.addEventListener("change", drawn);
lit.addEventListener("patch-tapped", (event) => {
  const box = marking() && list.querySelector(`input[value="${event.detail}"]`);
  if (!box) return;
  event.preventDefault();
  box.checked = !box.checked;
  drawn();
});
shown();
const asked = document.getElementById("found").open;
if (asked) lit.dispatchEvent(new CustomEvent("choose-fabric", { detail: Number(fabric.value) }));
