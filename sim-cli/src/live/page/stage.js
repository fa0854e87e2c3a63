// The boom as it is now: its drawing, the strip along it, its gauges; and saving it.

const at = (id) => document.getElementById(id);

/** What is drawn of one machine: made anew when the machine is another. */
function stage(machine, page, map) {
  for (const id of ["drawing", "along", "gauges"]) at(id).replaceChildren();
  const frame = element("div", { class: "frame", tabindex: "0", role: "group", "aria-label": "Drawing of the plumbing" }, at("drawing"));
  const units = { ...page, ...machine.units };
  const picture = boom(frame, machine, units, map);
  // Tips of a network that says nothing of their places are along nothing.
  const spread = Math.max(...machine.places) - Math.min(...machine.places);
  const strip = spread > 0 ? alongBoom(at("along"), machine) : null;
  const gauges = machine.gauges.map((gauge) => {
    const box = element("span", { class: "gauge" }, at("gauges"));
    element("span", { class: "what", text: `${gauge.name} ` }, box);
    return { ...gauge, is: element("b", {}, box), was: element("span", { class: "was" }, box) };
  });
  pointer(at("drawing"), frame, machine, units);
  return { machine, picture, strip, gauges, units };
}

/** What the place under the pointer does now. */
function pointer(holder, frame, machine, units) {
  const tip = element("div", { class: "pointer", "aria-hidden": "true", hidden: "" }, holder);
  frame.addEventListener("pointermove", (event) => {
    const over = event.target.closest("[data-kind]");
    tip.hidden = !over;
    if (!over) return;
    fillReadout(tip, machine, { kind: over.dataset.kind, i: Number(over.dataset.i) }, NOW, units);
    const box = holder.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    tip.style.left = `${Math.max(Math.min(x + 14, box.width - tip.offsetWidth - 4), 0)}px`;
    tip.style.top = `${y + 18}px`;
  });
  frame.addEventListener("pointerleave", () => {
    tip.hidden = true;
  });
}

/** The state in a sentence, for those who do not see the drawing. */
function liveWords({ machine, units }, shows) {
  const flows = machine.tip.flow.map((one) => one[0]);
  const sprayed = flows.reduce((sum, flow) => sum + Math.max(flow, 0), 0);
  const runs = flows.filter((flow) => flow > 1e-6).length;
  const when = shows.time === null ? "Steady state of" : `At ${shownTime(shows.time)} of the run, in`;
  const spray = runs > 0 ? `${runs} of ${flows.length} tips spray ${shown(sprayed, units.flow)}` : "no tip sprays";
  const step = shows.steps[shows.number];
  const waits = shows.time === null && step?.air ? " Air comes in when it is played." : "";
  return `${when} step “${step?.name ?? ""}”: ${spray}.${waits}`;
}

/** Steps that have a button each; where there are more they share a list. */
const MOST_STEP_BUTTONS = 8;

/** Buttons, or a list, to go to a step; returns what marks the one that is shown. */
function stepButtons(holder, steps, go) {
  if (steps.length > MOST_STEP_BUTTONS) {
    const label = element("label", { text: "Step " }, holder);
    const list = element("select", {}, label);
    steps.forEach((step, number) => element("option", { value: number, text: step.name }, list));
    list.addEventListener("change", () => go(Number(list.value)));
    return (number) => {
      list.value = String(number);
    };
  }
  const buttons = steps.map((step, number) => {
    const button = element("button", { type: "button", text: step.name }, holder);
    button.addEventListener("click", () => go(number));
    return button;
  });
  return (number) => buttons.forEach((button, i) => button.setAttribute("aria-pressed", String(i === number)));
}

/** Offers `blob` as a file. */
function save(blob, name) {
  const link = element("a", { href: URL.createObjectURL(blob), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

/** A drawing as a file of its own, its looks written into it. */
function pictureOf(svg) {
  const copy = svg.cloneNode(true);
  const names = ["fill", "stroke", "stroke-width", "stroke-opacity", "stroke-dasharray", "font-size", "font-weight", "font-family", "paint-order", "visibility"];
  const [from, to] = [svg.querySelectorAll("*"), copy.querySelectorAll("*")];
  from.forEach((element, i) => {
    const style = getComputedStyle(element);
    for (const name of names) to[i].setAttribute(name, style.getPropertyValue(name));
  });
  copy.querySelector(".hits")?.remove();
  copy.setAttribute("xmlns", SVG);
  return new Blob([new XMLSerializer().serializeToString(copy)], { type: "image/svg+xml" });
}
