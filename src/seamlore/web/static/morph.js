// A part of the page made to look like its newest state, touching only what differs: a quilt is thousands of nodes, and
// an edit changes a few.

// Gives whether what is sent, and where, is said otherwise.
function sameAttributes(old, now) {
  let asks = false;
  for (const { name } of [...old.attributes])
    if (!now.hasAttribute(name)) {
      old.removeAttribute(name);
      asks ||= name.startsWith("hx-");
    }
  for (const { name, value } of now.attributes)
    if (name !== "hx-swap-oob" && old.getAttribute(name) !== value) {
      old.setAttribute(name, value);
      asks ||= name.startsWith("hx-");
    }
  return asks;
}

// A field says what the newest state says, whatever was typed into it: `table.js` knows what is to be typed again.
function sameField(field) {
  if (field.type === "checkbox" || field.type === "radio") field.checked = field.defaultChecked;
  else if (field.localName === "select") {
    const first = [...field.options].findIndex((each) => each.defaultSelected);
    field.selectedIndex = first < 0 && field.options.length ? 0 : first;
  } else if (field.value !== field.defaultValue) field.value = field.defaultValue;
}

// What is drawn once and used in many places goes by its name, which says what it looks like.
function byName(old, now) {
  const there = new Set([...old.children].map((each) => each.id));
  for (const each of [...now.children]) if (!there.has(each.id)) old.append(each);
  // Only once nothing uses it any more is it taken out; what is there already need not have been sent again.
  return () => {
    const used = new Set([...old.parentNode.querySelectorAll("use")].map((each) => each.getAttribute("href").slice(1)));
    for (const each of [...old.children]) if (!used.has(each.id)) each.remove();
  };
}

function children(old, now, after, fresh) {
  const [were, are] = [[...old.childNodes], [...now.childNodes]];
  are.forEach((each, index) => {
    const was = were[index];
    if (!was || was.nodeType !== each.nodeType || was.nodeName !== each.nodeName) {
      if (was) was.replaceWith(each);
      else old.append(each);
      if (each.nodeType === Node.ELEMENT_NODE) fresh.push(each);
    } else if (each.nodeType !== Node.ELEMENT_NODE) {
      if (was.data !== each.data) was.data = each.data;
    } else one(was, each, after, fresh);
  });
  for (const left of were.slice(are.length)) left.remove();
}

function one(old, now, after, fresh) {
  if (sameAttributes(old, now)) fresh.push(old);
  if (old.nodeName === "defs") after.push(byName(old, now));
  else children(old, now, after, fresh);
  if (old.matches("input:not([type=file]), select, textarea")) sameField(old);
}

const ASKS = "[hx-get], [hx-post]";

// `now` is used up.
export function morph(old, now, { within = false } = {}) {
  const [after, fresh] = [[], []];
  if (within) children(old, now, after, fresh);
  else one(old, now, after, fresh);
  for (const each of after) each();
  // What came in anew, or asks otherwise now, is to be listened to.
  for (const each of fresh) if (each.matches(ASKS) || each.querySelector(ASKS)) window.htmx.process(each);
}
