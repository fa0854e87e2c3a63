// Puts the page together: every place that asks for machines gets its drawings, clock and readouts.

const page = JSON.parse(document.getElementById("data").textContent);
const map = colourMap(page.map);

/** A sentence on what a machine does in a view: the drawing for those who do not see it. */
function inWords(machine, view, place) {
  const concentrations = machine.tip.concentration.map((series) => valueAt(series, place));
  const flows = machine.tip.flow.map((series) => valueAt(series, place));
  const sprayed = flows.reduce((sum, flow) => sum + Math.max(flow, 0), 0);
  const runs = flows.filter((flow) => flow > 1e-6).length;
  const when = view.time === null ? "" : `At ${shownTime(Math.min(view.time, machine.end))} of the run, `;
  const step = machine.steps[machine.stepOf[place.from]].name;
  const spray = runs > 0 ? `${runs} of ${flows.length} tips spray ${shown(sprayed, page.flow)}` : "no tip sprays";
  let words = `${when}step “${step}”: ${spray}`;
  const told = machine.line.column && !machine.changes ? [] : concentrations;
  const known = told.filter((concentration) => !Number.isNaN(concentration));
  if (known.length > 0) {
    const weakest = known.indexOf(Math.min(...known));
    const mean = known.reduce((sum, one) => sum + one, 0) / known.length;
    words += `; concentration at the tips ${mean.toFixed(0)} % on average, lowest at tip ` +
      `${machine.drawing.tips[weakest].name}: ${known[weakest].toFixed(1)} %`;
  }
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}

/** Every place of a machine in a list, for those who point with the keyboard. */
function placeList(holder, machine) {
  const label = element("label", { class: "pick", text: "Look at " }, holder);
  const list = element("select", {}, label);
  const group = (name, kind, items) => {
    const shownItems = items.filter(([, text]) => text !== null);
    if (shownItems.length === 0) return;
    const options = element("optgroup", { label: name }, list);
    for (const [i, text] of shownItems) element("option", { value: `${kind} ${i}`, text }, options);
  };
  const { tips, lines, tanks } = machine.drawing;
  group("Tips", "tip", tips.map((tip, i) => [i, `Tip ${tip.name}`]));
  group("Lines", "line", lines.map((line, i) => [i, line.kind === "line" ? line.name : null]));
  group("Parts", "part", lines.map((line, i) => [i, line.kind === "line" ? null : line.name]));
  group("Tanks", "tank", tanks.map((tank, i) => [i, tank.name]));
  return list;
}

function placeFrom(text) {
  const [kind, i] = text.split(" ");
  return { kind, i: Number(i) };
}

/** The line that air fills last; nothing if it fills none. */
function lastToEmpty(machine) {
  let [latest, at] = [-1, null];
  machine.line.air.forEach((series, i) => {
    const filled = machine.timed.findLastIndex((k) => series[k] < 0.5);
    if (filled > latest && filled + 1 < machine.timed.length) [latest, at] = [filled, i];
  });
  return at;
}

/** The place a reader asks for first: the tip that comes full last, or stays weakest; where air alone moves what lines hold,
 * the line that it fills last. */
function firstPick(machine) {
  const emptied = machine.line.air && !machine.changes ? lastToEmpty(machine) : null;
  if (emptied !== null) return { kind: "line", i: emptied };
  if (machine.drawing.tips.length === 0) return { kind: machine.drawing.lines[0].kind === "line" ? "line" : "part", i: 0 };
  let [worst, at] = [-1, 0];
  machine.tip.concentration.forEach((series, i) => {
    const late = machine.timed.filter((k) => series[k] < 95).length;
    if (late > worst) [worst, at] = [late, i];
  });
  return { kind: "tip", i: at };
}

/** The readout that follows the pointer. */
function pointerReadout(holder, frame, machine, current) {
  const tip = element("div", { class: "pointer", "aria-hidden": "true", hidden: "" }, holder);
  const show = (event) => {
    const over = event.target.closest("[data-kind]");
    tip.hidden = !over;
    if (!over) return;
    fillReadout(tip, machine, { kind: over.dataset.kind, i: Number(over.dataset.i) }, current(), page);
    const box = holder.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    tip.style.left = `${Math.max(Math.min(x + 14, box.width - tip.offsetWidth - 4), 0)}px`;
    tip.style.top = `${y + 18}px`;
  };
  frame.addEventListener("pointermove", show);
  frame.addEventListener("pointerleave", () => {
    tip.hidden = true;
  });
}

/** One machine: its drawing in `holder`, and in `below` what one place of it does. */
function machineView(holder, below, machine, letter, colours) {
  const figure = element("figure", { class: "machine" }, holder);
  if (letter) element("figcaption", { class: "which", text: `${letter}: ${machine.title}` }, figure);
  const frame = element("div", { class: "frame", tabindex: "0", role: "group", "aria-label": "Drawing of the plumbing" }, figure);
  const picture = boom(frame, machine, page, map);
  const words = element("p", { class: "words" }, figure);
  const look = element("div", { class: "look" }, below);
  const side = element("div", { class: "side" }, look);
  if (letter) element("p", { class: "which", text: `In ${letter}` }, side);
  const list = placeList(side, machine);
  const readout = element("div", { class: "readout" }, side);
  const graph = element("div", { class: "graph" }, look);
  const state = { view: null, pick: firstPick(machine), now: () => {} };
  pointerReadout(figure, frame, machine, () => state.view);

  function pick(place, go) {
    state.pick = place;
    list.value = `${place.kind} ${place.i}`;
    for (const marked of picture.svg.querySelectorAll(".picked")) marked.classList.remove("picked");
    const of = picture.svg.querySelector(`[data-kind="${place.kind}"][data-i="${place.i}"]`);
    if (of) of.classList.add("picked");
    state.now = machine.timed.length > 0
      ? fillGraph(graph, machine, place, page, go)
      : fillSteps(graph, machine, place, page);
    if (state.view) show(state.view, state.range);
  }

  function show(view, range) {
    state.view = view;
    state.range = range;
    const place = picture.show(view, colours(), range);
    const text = inWords(machine, view, place);
    words.textContent = text;
    picture.svg.setAttribute("aria-label", `Plumbing of ${machine.title}. ${text}`);
    fillReadout(readout, machine, state.pick, view, page);
    state.now(view);
  }

  return {
    show,
    range: (view) => pressureRange(machine, view, page.least_span),
    flow: picture.flow,
    most: picture.most,
    start: (go) => {
      pick(state.pick, go);
      list.addEventListener("change", () => pick(placeFrom(list.value), go));
      picture.svg.addEventListener("click", (event) => {
        const over = event.target.closest("[data-kind]");
        if (over) pick({ kind: over.dataset.kind, i: Number(over.dataset.i) }, go);
      });
    },
  };
}

/** Choice between what colours show, the first of `kinds` first, and what they mean. */
function colourChoice(holder, kinds, changed) {
  const row = element("div", { class: "colours" }, holder);
  const label = element("label", { text: "Colour shows " }, row);
  const list = element("select", {}, label);
  for (const [value, text] of kinds) element("option", { value, text }, list);
  list.addEventListener("change", changed);
  const set = legend(element("span", { class: "legend" }, row), page.map);
  const width = element("span", { class: "width" }, row);
  return { value: () => list.value, set, width };
}

/** What colours can show of `machines`: a run that only moves liquid and air about opens with which is where. */
function kindsOf(machines) {
  const airy = machines.some((machine) => machine.line.column);
  const timed = machines.some((machine) => machine.timed.length > 0);
  const changes = machines.some((machine) => machine.changes);
  const content = [airy ? CONTENT : null, timed ? CONCENTRATION : null];
  if (changes) content.reverse();
  return [...content, ["pressure", "pressure"]].filter((kind) => kind !== null);
}

/** Drawings of the machines that `holder` names, under one clock. */
function start(holder) {
  const wanted = holder.dataset.machines.split(" ").map(Number);
  const machines = wanted.map((i) => openedMachine(page.machines[i]));
  let view = null;
  const top = element("div", { class: "panelboard" }, holder);
  const choice = colourChoice(top, kindsOf(machines), () => view && show(view));
  const letter = (i) => (machines.length > 1 ? "ABCDEFGH"[i] ?? String(i + 1) : "");
  const booms = element("div", {}, holder);
  const looks = element("div", { class: machines.length > 1 ? "looks several" : "looks" }, holder);
  const views = machines.map((machine, i) => machineView(booms, looks, machine, letter(i), choice.value));

  const most = Math.max(...views.map((one) => one.most));
  const airy = machines.some((machine) => machine.line.column);
  const pale = airy ? "; pale: air, a thin line in it: liquid on the wall" : "";
  const widths = `width shows flow: the widest line, ${shown(most, page.flow)}`;

  function show(next) {
    view = next;
    const ranges = views.map((one) => one.range(next));
    const range = [Math.min(...ranges.map(([low]) => low)), Math.max(...ranges.map(([, high]) => high))];
    views.forEach((one) => one.show(next, range));
    choice.width.textContent = choice.value() === "holds" ? widths : widths + pale;
    if (choice.value() === "holds") choice.set.holds();
    else if (choice.value() === "concentration") choice.set.scale("0 %", "100 %");
    else choice.set.scale(...range.map((end) => shown(end, page.pressure)));
  }

  const flow = (seconds) => views.forEach((one) => one.flow(seconds));
  const go = clock(top, machines, show, flow);
  views.forEach((one) => one.start(go));
}

document.querySelectorAll(".booms").forEach(start);
document.documentElement.dataset.ready = "true";
