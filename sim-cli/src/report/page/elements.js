// Pieces of a page.

/** A new element `name` with `attributes` in `parent`; `text` is its text. */
function element(name, attributes, parent) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key === "text") made.textContent = value;
    else made.setAttribute(key, value);
  }
  if (parent) parent.append(made);
  return made;
}

/** Whether the reader asks for less motion. */
function lessMotion() {
  return window.matchMedia("(prefers-reduced-motion: reduce)").matches;
}
