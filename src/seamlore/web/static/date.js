// The page on dating: the cloth tapped on the quilt goes into the form, with the patches that it stands in.

const put = (id, value) => {
  const field = document.getElementById(id);
  if (field) field.value = value;
};

// fabrics.js marks the chosen swatch after a tap on it or on the quilt; with others of its color, they count together.
new MutationObserver(() => {
  const chosen = [...document.querySelectorAll('[data-fabric][aria-pressed="true"]')];
  const patches = chosen.reduce((sum, button) => sum + Number(button.dataset.patches), 0);
  put("fabric", chosen.map((button) => button.dataset.called).join(" "));
  put("patches", patches || "");
  const folded = document.getElementById("fabric").closest("details");
  if (folded && chosen.length) folded.open = true;
}).observe(document.querySelector(".swatches"), { attributes: true, subtree: true, attributeFilter: ["aria-pressed"] });
