// A part of the page made to look like its newest state, touching only what differs: a quilt is thousands of nodes, and
// an edit changes a few.

function sameAttributes(old, now) {
  for (const { name } of [...old.attributes]) if (!now.hasAttribute(name)) old.removeAttribute(name);
  for (const { name, value } of now.attributes)
    if (name !== "hx-swap-oob" && old.getAttribute(name) !== value) old.setAttribute(name, value);
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

function children(old, now, after) {
  const [were, are] = [[...old.childNodes], [...now.childNodes]];
  are.forEach((each, index) => {
    const was = were[index];
    if (!was) old.append(each);
    else if (was.nodeType !== each.nodeType || was.nodeName !== each.nodeName) was.replaceWith(each);
    else if (each.nodeType !== Node.ELEMENT_NODE) {
      if (was.data !== each.data) was.data = each.data;
    } else {
      sameAttributes(was, each);
      if (was.nodeName === "defs") after.push(byName(was, each));
      else children(was, each, after);
    }
  });
  for (const left of were.slice(are.length)) left.remove();
}

// `now` is used up.
export function morph(old, now, { within = false } = {}) {
  const after = [];
  if (!within) sameAttributes(old, now);
  children(old, now, after);
  for (const each of after) each();
}
