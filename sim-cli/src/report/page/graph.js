// What one place does over time, and what it does now.

const GRAPH = { width: 640, height: 118, left: 62, right: 12, top: 20, bottom: 24 };

/** A place as `{kind, i}`: its name, what it is, and its figures as `[name, series, unit]`. */
function about(machine, { kind, i }, units) {
  const { drawing } = machine;
  if (kind === "tip") {
    const tip = drawing.tips[i];
    const section = tip.section ? `, section ${tip.section}` : "";
    return {
      name: `Tip ${tip.name}`,
      what: `${drawing.boom ? tip.place : "tip"}${section}`,
      figures: [
        ["concentration", machine.tip.concentration[i], PERCENT],
        ["pressure", machine.node.pressure[tip.node], units.pressure],
        ["flow", machine.tip.flow[i], units.flow],
      ],
    };
  }
  if (kind === "tank") {
    const { name } = drawing.tanks[i];
    return {
      name: name === "tank" ? "Tank" : `Tank ${name}`,
      what: "well mixed",
      figures: [["concentration", machine.tank[i], PERCENT]],
    };
  }
  const line = drawing.lines[i];
  const figures = [
    ["flow", machine.line.flow[i], units.flow],
    ["pressure at its start", machine.node.pressure[line.from], units.pressure],
    ["pressure at its end", machine.node.pressure[line.to], units.pressure],
  ];
  if (kind === "line") {
    figures.unshift(["mean concentration", machine.line.concentration[i], PERCENT]);
    figures.push(["velocity", machine.line.flow[i].map((flow) => flow / line.area), units.velocity]);
    const air = machine.line.air ? ["air", machine.line.air[i].map((share) => 100 * share), PERCENT] : null;
    // What does not change is not asked for first.
    if (air && machine.changes) figures.push(air);
    else if (air) figures.splice(0, 1, air);
  }
  return { name: line.name, what: line.what, figures };
}

/** Figures of `place` in `view` as rows of a list, text only. */
function fillReadout(holder, machine, place, view, units) {
  const of = about(machine, place, units);
  const at = placeOf(machine, view);
  const name = document.createElement("b");
  name.textContent = of.name;
  const what = document.createElement("span");
  what.className = "what";
  what.textContent = of.what;
  const list = document.createElement("dl");
  for (const [label, series, unit] of of.figures) {
    const value = valueAt(series, at);
    if (Number.isNaN(value)) continue;
    const [term, figure] = [document.createElement("dt"), document.createElement("dd")];
    term.textContent = label;
    figure.textContent = shown(value, unit);
    figure.dataset.figure = label;
    list.append(term, figure);
  }
  holder.replaceChildren(name, what, list);
}

/** A round step for about `count` ticks over `span`. */
function tickStep(span, count) {
  const raw = span / count;
  const power = 10 ** Math.floor(Math.log10(raw));
  return [1, 2, 2.5, 5, 10].find((m) => m * power >= raw * (1 - 1e-9)) * power;
}

/** The lowest and highest value that `series` takes at the moments of time, opened a little. */
function spanOf(machine, series, unit) {
  let [low, high] = [Infinity, -Infinity];
  for (const k of machine.timed) {
    if (series[k] < low) low = series[k];
    if (series[k] > high) high = series[k];
  }
  if (unit === PERCENT) return [Math.min(low, 0), Math.max(high, 100)];
  const room = Math.max(0.06 * (high - low), 2 * 10 ** -unit.decimals);
  return [low - room, high + room];
}

/** One panel: a curve over time with its axes. */
function panel(machine, [label, series, unit], end) {
  const { width, height, left, right, top, bottom } = GRAPH;
  const svg = drawn("svg", { viewBox: `0 0 ${width} ${height}`, class: "panel", role: "img" });
  svg.setAttribute("aria-label", `${label} over time`);
  const [low, high] = spanOf(machine, series, unit);
  const x = (time) => left + (time / end) * (width - left - right);
  const y = (value) => height - bottom - ((value - low) / (high - low)) * (height - top - bottom);
  const step = tickStep(high - low, 3);
  for (let value = Math.ceil(low / step) * step; value <= high + 1e-9; value += step) {
    drawn("path", { d: `M${left} ${y(value)}H${width - right}`, class: "grid" }, svg);
    const text = drawn("text", { x: left - 6, y: y(value) + 4, "text-anchor": "end" }, svg);
    text.textContent = Number(value.toFixed(6)).toString();
  }
  const long = end > 600;
  const seconds = long ? 60 * tickStep(end / 60, 6) : tickStep(end, 6);
  for (let time = 0; time <= end * (1 + 1e-9); time += seconds) {
    drawn("path", { d: `M${x(time)} ${height - bottom}v4`, class: "grid" }, svg);
    const text = drawn("text", { x: x(time), y: height - 7, "text-anchor": "middle" }, svg);
    text.textContent = long ? `${Number((time / 60).toFixed(1))} min` : `${Number(time.toFixed(2))} s`;
  }
  const title = drawn("text", { x: left, y: 13, class: "title" }, svg);
  title.textContent = `${label}, ${unit.symbol}`;
  let d = "";
  for (const k of machine.timed) {
    const value = series[k];
    if (!Number.isNaN(value)) d += `${d ? "L" : "M"}${x(machine.time[k]).toFixed(1)} ${y(value).toFixed(1)}`;
  }
  drawn("path", { d, class: "curve" }, svg);
  const now = drawn("path", { d: "", class: "now" }, svg);
  return { svg, now: (time) => change(now, "d", `M${x(time).toFixed(1)} ${top}V${height - bottom}`), x };
}

/** Time under the pointer on a panel. */
function timeAt(event, svg, end) {
  const box = svg.getBoundingClientRect();
  const at = ((event.clientX - box.left) / box.width) * GRAPH.width;
  const share = (at - GRAPH.left) / (GRAPH.width - GRAPH.left - GRAPH.right);
  return Math.min(Math.max(share, 0), 1) * end;
}

/** Curves of `place` over time; a click on one goes to that time. */
function fillGraph(holder, machine, place, units, go) {
  const { figures } = about(machine, place, units);
  const panels = figures
    .filter(([, series]) => machine.timed.some((k) => !Number.isNaN(series[k])))
    .map((figure) => panel(machine, figure, machine.end));
  holder.replaceChildren(...panels.map((one) => one.svg));
  for (const { svg } of panels) svg.addEventListener("click", (event) => go(timeAt(event, svg, machine.end)));
  return (view) => panels.forEach((one) => one.now(Math.min(view.time ?? 0, machine.end)));
}

/** Figures of `place` step by step, where nothing lasts. */
function fillSteps(holder, machine, place, units) {
  const { figures } = about(machine, place, units);
  const table = document.createElement("table");
  const head = table.createTHead().insertRow();
  head.append(document.createElement("th"));
  for (const [label] of figures.filter(([, series]) => series.some((v) => !Number.isNaN(v)))) {
    const cell = document.createElement("th");
    cell.textContent = label;
    cell.className = "n";
    head.append(cell);
  }
  const body = table.createTBody();
  machine.steps.forEach((step, k) => {
    const row = body.insertRow();
    row.insertCell().textContent = step.name;
    for (const [, series, unit] of figures) {
      const value = series[lastOfStep(machine, k)];
      if (series.every((v) => Number.isNaN(v))) continue;
      const cell = row.insertCell();
      cell.textContent = shown(value, unit);
      cell.className = "n";
    }
  });
  holder.replaceChildren(table);
  return () => {};
}
