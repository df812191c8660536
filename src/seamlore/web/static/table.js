// What every page does: dropping photographs, saving on change, keys for undo and redo.

document.documentElement.classList.add("scripted");

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field.matches("[data-submit-on-change]") && field.form.reportValidity()) field.form.requestSubmit();
});

for (const drop of document.querySelectorAll("[data-drop]")) {
  const field = drop.querySelector("input[type=file]");
  for (const kind of ["dragenter", "dragover"]) {
    drop.addEventListener(kind, (event) => {
      event.preventDefault();
      drop.classList.add("over");
    });
  }
  drop.addEventListener("dragleave", (event) => {
    if (!drop.contains(event.relatedTarget)) drop.classList.remove("over");
  });
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    if (!event.dataTransfer.files.length) return;
    field.files = event.dataTransfer.files;
    drop.requestSubmit();
  });
}
// A photograph dropped beside the mark must not replace the page.
window.addEventListener("dragover", (event) => event.preventDefault());
window.addEventListener("drop", (event) => event.preventDefault());

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  // In a field the keys undo what was typed there.
  if (event.target.matches("input:not([type=checkbox]):not([type=radio]):not([type=range]), textarea, select")) return;
  const redo = event.key === "y" || (event.key.toLowerCase() === "z" && event.shiftKey);
  const key = redo ? "y" : event.key === "z" ? "z" : "";
  const button = key && document.querySelector(`button[data-key=${key}]:enabled`);
  if (button) {
    event.preventDefault();
    button.click();
  }
});
