// What every page does: dropping photographs, saving on change, keys for undo and redo, and saying what went wrong
// without losing what was typed.

document.documentElement.classList.add("scripted");

document.addEventListener("change", (event) => {
  const field = event.target;
  if (!field.matches("[data-submit-on-change]")) return;
  if (field.type === "file" ? fits(field) : field.form.reportValidity()) field.form.requestSubmit();
});

// Photographs that are dropped

function fits(field) {
  const { mostFiles, mostBytes } = field.form.dataset;
  const files = [...field.files];
  const bytes = files.reduce((sum, file) => sum + file.size, 0);
  let slip = "";
  if (mostFiles && files.length > mostFiles) slip = `That is ${files.length} photographs at once: at most ${mostFiles} are taken. Choose fewer.`;
  else if (mostBytes && bytes > mostBytes) slip = `That is ${Math.round(bytes / 1e6)} MB at once: at most ${mostBytes / 1e6} MB are taken. Choose fewer.`;
  if (slip) {
    field.value = "";
    say(slip);
  }
  return files.length > 0 && !slip;
}

document.addEventListener("dragover", (event) => {
  // A photograph dropped beside the mark must not replace the page either.
  event.preventDefault();
  event.target.closest?.("[data-drop]")?.classList.add("over");
});
document.addEventListener("dragleave", (event) => {
  const drop = event.target.closest?.("[data-drop]");
  if (drop && !drop.contains(event.relatedTarget)) drop.classList.remove("over");
});
document.addEventListener("drop", (event) => {
  event.preventDefault();
  const drop = event.target.closest?.("[data-drop]");
  if (!drop) return;
  drop.classList.remove("over");
  const field = drop.querySelector("input[type=file]");
  if (!event.dataTransfer.files.length) return;
  if (!field.multiple && event.dataTransfer.files.length > 1) {
    say("One photograph at a time belongs to a quilt here. To begin several quilts at once, drop them on the page of all quilts.");
    return;
  }
  field.files = event.dataTransfer.files;
  if (fits(field)) drop.requestSubmit();
});
document.addEventListener("htmx:beforeRequest", (event) => {
  const form = event.target;
  const files = form.querySelector?.("input[type=file]")?.files;
  if (!files?.length) return;
  const count = files.length;
  const words = count === 1 ? `Bringing in ${files[0].name} ...` : `Bringing in ${count} photographs ...`;
  const line = document.createElement("p");
  line.className = "notice bringing";
  line.textContent = words;
  document.getElementById("notices").replaceChildren(line);
});

// What went wrong

function say(sentence, again = null) {
  const place = document.getElementById("notices");
  if (!place) return;
  const notice = document.createElement("div");
  notice.className = "notice bad";
  notice.setAttribute("role", "alert");
  const words = document.createElement("p");
  words.textContent = sentence;
  notice.append(words);
  if (again) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Try again";
    button.addEventListener("click", again);
    notice.append(button);
  }
  place.replaceChildren(notice);
  show(place);
}

function show(place) {
  place.scrollIntoView({ block: "nearest" });
}

const SILENT =
  "Seamlore does not answer: it was closed, or it has stopped. What you typed is still here, and everything before " +
  "it is on the shelf. Start Seamlore again, leave this page as it is, and try again.";

document.addEventListener("htmx:sendError", (event) => {
  const { requestConfig, elt } = event.detail;
  // A page that only asks how far something is asks again by itself.
  if (requestConfig.verb === "get") {
    say(SILENT);
    return;
  }
  say(SILENT, () => {
    if (!elt.isConnected) return;
    if (elt.matches("form")) elt.requestSubmit();
    else
      window.htmx.ajax(requestConfig.verb.toUpperCase(), requestConfig.path, {
        source: elt,
        target: requestConfig.target,
        swap: "outerHTML",
        values: Object.fromEntries(requestConfig.formData.entries()),
      });
  });
});
document.addEventListener("htmx:beforeSwap", (event) => {
  const { xhr } = event.detail;
  const kind = xhr.getResponseHeader("content-type") || "";
  if (xhr.status >= 400 && !kind.startsWith("text/html")) {
    event.detail.shouldSwap = false;
    say(xhr.responseText.trim() || "That was not taken; load the page again.");
  }
});

// What is typed while an answer is under way stays, and is sent with the next one.

let typed = [];
document.addEventListener("htmx:beforeSwap", (event) => {
  typed = [];
  const { target, requestConfig } = event.detail;
  if (!event.detail.shouldSwap || !target?.querySelectorAll) return;
  // The event is the target's; which form was sent, the request says.
  const form = requestConfig.elt?.closest?.("form");
  for (const field of target.querySelectorAll("input[id]:not([type=hidden], [type=file], [type=radio]), textarea[id], select[id]")) {
    const box = field.type === "checkbox";
    const value = box ? field.checked : field.value;
    const first = box
      ? field.defaultChecked
      : field.matches("select")
        ? ([...field.options].find((each) => each.defaultSelected) ?? field.options[0])?.value
        : field.defaultValue;
    const sent = form && field.form === form && !box && requestConfig.formData.get(field.name) === value;
    if (value !== first && !sent && !(box && field.form === form)) typed.push([field.id, value, field.form?.getAttribute("action")]);
  }
});
document.addEventListener("htmx:afterSettle", () => {
  const again = typed;
  typed = [];
  for (const [id, value, action] of again) {
    const field = document.getElementById(id);
    if (!field || field.form?.getAttribute("action") !== action) continue;
    const key = field.type === "checkbox" ? "checked" : "value";
    if (field[key] === value) continue;
    field[key] = value;
    let told = false;
    const tell = () => {
      if (!told) field.dispatchEvent(new Event("change", { bubbles: true }));
    };
    field.addEventListener("change", () => (told = true), { once: true });
    if (document.activeElement === field) field.addEventListener("blur", tell, { once: true });
    else tell();
  }
});
document.addEventListener("htmx:afterSwap", (event) => {
  const place = document.getElementById("notices");
  if (!place) return;
  if (event.detail.target === place) show(place);
  // What was wrong before is settled by an edit that went through.
  else if (event.detail.successful && event.detail.requestConfig.verb !== "get") place.replaceChildren();
});

// A slip that is being mended takes its red line away; the answer says whether it is mended.
document.addEventListener("input", (event) => {
  const field = event.target;
  if (!field.matches("[aria-invalid=true]")) return;
  field.removeAttribute("aria-invalid");
  for (const id of (field.getAttribute("aria-describedby") ?? "").split(" ")) {
    const slip = id && document.getElementById(id);
    if (slip?.classList.contains("slip")) slip.hidden = true;
  }
});

// Pictures that are not in view, as those of what stands behind "more" and of the printed page, are fetched once the
// page has come to rest, so that none is empty when it is opened or printed.

function fetchPictures() {
  for (const picture of document.querySelectorAll("img[loading=lazy]")) picture.loading = "eager";
}
const atRest = () => setTimeout(() => (window.requestIdleCallback ?? setTimeout)(fetchPictures), 1500);
addEventListener("load", atRest);
document.addEventListener("htmx:afterSettle", atRest);
addEventListener("beforeprint", fetchPictures);

// Keys

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
