// The drawing of one machine: lines as wide as their flow, coloured by concentration or pressure.

const SVG = "http://www.w3.org/2000/svg";
/** Widths of lines that stand still and of the one with the largest flow. */
const NARROW = 3.5;
const WIDE = 13;
/** Share of the largest flow below which a line counts as still. */
const STILL = 1e-5;
/** Share of a line's length below which air at its end is not drawn, and share of air from which its wall counts as dry. */
const NEAR_END = 0.002;
const DRY = 0.998;
/** Concentrations, in percent, below whose difference two ends of a line count as alike. */
const ALIKE = 0.5;
/** Most lines whose moving dashes a browser draws without effort. */
const MOST_DASHED = 700;

/** A new SVG element `name` with `attributes` in `parent`. */
function drawn(name, attributes, parent) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (parent) parent.append(element);
  return element;
}

/** Corners of a path as pairs. */
function corners(path) {
  const points = [];
  for (let i = 0; i + 1 < path.length; i += 2) points.push([path[i], path[i + 1]]);
  return points;
}

function pathText(path) {
  return corners(path).map(([x, y], i) => `${i === 0 ? "M" : "L"}${x} ${y}`).join("");
}

/** The longest straight piece of a path: its middle, its length, its direction in degrees. */
function longestPiece(path) {
  const points = corners(path);
  let best = { length: -1 };
  for (let i = 0; i + 1 < points.length; i += 1) {
    const [[ax, ay], [bx, by]] = [points[i], points[i + 1]];
    const length = Math.hypot(bx - ax, by - ay);
    if (length > best.length) {
      const angle = (Math.atan2(by - ay, bx - ax) * 180) / Math.PI;
      best = { length, x: (ax + bx) / 2, y: (ay + by) / 2, angle };
    }
  }
  return best;
}

/** Sets an attribute only where it changes: most of a drawing rests most of the time. */
function change(element, name, value) {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** Largest size of any value of `lists`. */
function largest(lists) {
  let most = 0;
  for (const list of lists) for (const value of list) if (Math.abs(value) > most) most = Math.abs(value);
  return most;
}

/** The sign of a part, where its path is longest. */
function symbol(line, parent, room) {
  const at = longestPiece(line.path);
  const size = line.sectional ? room : 1;
  const transform = `translate(${at.x} ${at.y}) rotate(${at.angle}) scale(${size})`;
  const group = drawn("g", { class: "part", transform }, parent);
  if (line.kind === "pump") {
    drawn("circle", { r: 17, class: "body" }, group);
    drawn("path", { d: "M15 0L-7 -13L-7 13Z", class: "sign" }, group);
  } else if (line.kind === "valve") {
    drawn("path", { d: "M0 0L-9 -7L-9 7ZM0 0L9 -7L9 7Z", class: "sign" }, group);
  } else {
    drawn("rect", { x: -6, y: -6, width: 12, height: 12, class: "body" }, group);
  }
}

/** The strokes of one line, from the lowest to the highest. */
function strokesOf(line, layers, dashed) {
  const d = pathText(line.path);
  const stroke = (layer, name, more) => drawn("path", { d, class: name, ...more }, layers[layer]);
  const piece = longestPiece(line.path);
  // In a tube every piece between two tips is short: arrows there would only crowd.
  const bears = line.kind === "line" && piece.length > 26;
  return {
    casing: stroke("casing", "casing", {}),
    film: stroke("base", "film", { visibility: "hidden" }),
    base: stroke("base", "base", { pathLength: 1 }),
    front: stroke("front", "front", { pathLength: 1 }),
    dash: dashed ? stroke("flow", "dash", {}) : null,
    arrow: bears ? drawn("path", { d: "M6 0L-4 -4.5L-4 4.5Z", class: "arrow" }, layers.flow) : null,
    piece,
    run: 0,
  };
}

/** How the concentration of a line lies along it: `behind` up to `share` of its way from the end it is fed, `ahead` beyond. */
function frontOf(machine, i, place) {
  const line = machine.drawing.lines[i];
  const flow = valueAt(machine.line.flow[i], place);
  const fed = valueAt(machine.node.concentration[flow >= 0 ? line.from : line.to], place);
  const mean = valueAt(machine.line.concentration[i], place);
  if (line.kind !== "line") return { behind: fed, ahead: fed, share: 0, flow };
  const ahead = valueAt(machine.line.leaving[i], place);
  const between = Math.abs(fed - ahead) > ALIKE && (mean - ahead) * (mean - fed) <= 0;
  if (!between) return { behind: mean, ahead: mean, share: 0, flow };
  return { behind: fed, ahead, share: (mean - ahead) / (fed - ahead), flow };
}

/** Lowest and highest pressure that the colours tell apart at the end of the step that `view` is in; at least as far apart as
 * `least` says: a share of the highest, and a pressure. */
function pressureRange(machine, view, least) {
  const moment = lastOfStep(machine, machine.stepOf[placeOf(machine, view).from]);
  let [low, high] = [Infinity, -Infinity];
  for (const node of machine.drawing.ranged) {
    const value = machine.node.pressure[node][moment];
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return [Math.min(low, high - Math.max(least[0] * high, least[1])), high];
}

/** The fixed marks: tank, headers, parts, names, scale. */
function fixedMarks(machine, svg, layers) {
  const { drawing } = machine;
  const tanks = drawing.tanks.map((tank, i) => {
    if (tank.place.length === 0) return null;
    const [left, top, right, bottom] = tank.place;
    const box = { x: left, y: top, width: right - left, height: bottom - top, class: "tank", rx: 6 };
    return drawn("rect", { ...box, "data-kind": "tank", "data-i": i }, layers.tank);
  });
  const bars = drawing.bars.map((bar) => {
    const d = pathText(bar.path);
    drawn("path", { d, class: "casing bar", "stroke-width": 12 }, layers.casing);
    return drawn("path", { d, class: "base bar", "stroke-width": 10 }, layers.front);
  });
  for (const line of drawing.lines) if (line.kind !== "line") symbol(line, layers.parts, drawing.room);
  for (const label of drawing.labels) {
    const [x, y] = label.at;
    const text = drawn("text", { x, y, "text-anchor": label.anchor, class: label.small ? "small" : "name" }, layers.words);
    text.textContent = label.text;
  }
  if (drawing.scale) {
    const [[ax, ay], [bx]] = [drawing.scale.from, drawing.scale.to];
    drawn("path", { d: `M${ax} ${ay - 6}V${ay}H${bx}V${ay - 6}`, class: "scale" }, layers.words);
    const text = drawn("text", { x: bx + 10, y: ay + 2, class: "small" }, layers.words);
    text.textContent = drawing.scale.text;
  }
  return { tanks, bars };
}

/** Each tip as a fan of spray. */
function fans(machine, layer) {
  const { tips, boom } = machine.drawing;
  const xs = tips.map((tip) => tip.at[0]).sort((a, b) => a - b);
  const gaps = xs.slice(1).map((x, i) => x - xs[i]).filter((gap) => gap > 0);
  const half = boom ? Math.min(Math.max(Math.min(...gaps, 18) * 0.46, 1), 9) : 9;
  return tips.map((tip, i) => {
    const [x, y] = tip.at;
    const d = `M${x} ${y - 8}L${x - half} ${y - 28}L${x + half} ${y - 28}Z`;
    return drawn("path", { d, class: "tip", "data-kind": "tip", "data-i": i }, layer);
  });
}

/** Draws `machine` into `holder`; returns what shows a view of it and what moves its dashes. */
function boom(holder, machine, page, map) {
  const { drawing } = machine;
  const svg = drawn("svg", {
    viewBox: `0 ${drawing.top} ${drawing.width} ${drawing.height}`,
    class: "drawing",
    role: "img",
  });
  const layers = {};
  for (const name of ["casing", "base", "front", "flow", "tank", "parts", "tips", "words", "hits"]) {
    layers[name] = drawn("g", { class: name }, svg);
  }
  const dashed = drawing.lines.length <= MOST_DASHED;
  const strokes = drawing.lines.map((line) => strokesOf(line, layers, dashed));
  const { tanks, bars } = fixedMarks(machine, svg, layers);
  const tips = fans(machine, layers.tips);
  drawing.lines.forEach((line, i) => {
    const kind = line.kind === "line" ? "line" : "part";
    drawn("path", { d: pathText(line.path), class: "hit", "data-kind": kind, "data-i": i }, layers.hits);
  });
  const most = largest(machine.line.flow);
  const picture = { svg, most, tips, tanks, bars, strokes, machine, page, map };
  holder.append(svg);
  return {
    svg,
    most,
    show: (view, colours, range) => showBoom(picture, view, colours, range),
    flow: (seconds) => moveDashes(picture, seconds),
    /** Makes `flow` the one that is drawn widest. */
    rescale: (flow) => {
      picture.most = flow;
    },
  };
}

/** Colours and widths of one view, pressures told apart over `range`; returns its place among the moments. */
function showBoom(picture, view, colours, range) {
  const { machine, page, map, strokes, most } = picture;
  const place = placeOf(machine, view);
  const ofPressure = (value) => map((value - range[0]) / (range[1] - range[0]));
  // What no liquid is followed in has no colour of concentration.
  const ofConcentration = (value) => (Number.isNaN(value) ? "var(--still)" : map(value / 100));
  const [byPressure, byKind] = [colours === "pressure", colours === "holds"];
  const ofContent = byKind ? () => LIQUID : ofConcentration;
  strokes.forEach((stroke, i) => {
    const line = machine.drawing.lines[i];
    const front = frontOf(machine, i, place);
    const size = most > 0 ? Math.abs(front.flow) / most : 0;
    const still = size < STILL || !showsSomething(front.flow, page.flow);
    const room = line.sectional ? machine.drawing.room : 1;
    const width = room * (still ? NARROW : NARROW + (WIDE - NARROW) * Math.sqrt(size));
    const ends = [line.from, line.to].map((node) => valueAt(machine.node.pressure[node], place));
    const ofEnds = () => (still ? "var(--still)" : ofPressure((ends[0] + ends[1]) / 2));
    const base = byPressure ? ofEnds() : ofContent(front.ahead);
    change(stroke.casing, "stroke-width", (width + 2 * room).toFixed(1));
    change(stroke.base, "stroke-width", width.toFixed(1));
    change(stroke.base, "stroke", base);
    const share = byPressure || byKind ? 0 : front.share;
    change(stroke.front, "stroke-width", width.toFixed(1));
    change(stroke.front, "stroke", ofConcentration(front.behind));
    // The dash begins at the end that the line is fed from.
    const dash = front.flow >= 0 ? `${share.toFixed(4)} 2` : `0 ${(1 - share).toFixed(4)} ${share.toFixed(4)} 2`;
    change(stroke.front, "stroke-dasharray", dash);
    change(stroke.front, "visibility", share > 0 ? "visible" : "hidden");
    showAir(machine, i, place, stroke, byKind ? FILM : base);
    direct(stroke, front.flow, still, width, room);
  });
  showMarks(picture, place, byPressure ? ofPressure : ofContent, byPressure);
  return place;
}

/** A line that holds air: its column where the record has it, thin what is on its wall. */
function showAir(machine, i, place, stroke, colour) {
  const { column, air } = machine.line;
  if (!column) return;
  const [from, to] = [column.from[i], column.to[i]].map((ends) => valueAt(ends, place));
  const full = from < NEAR_END && to > 1 - NEAR_END;
  change(stroke.film, "visibility", !full && valueAt(air[i], place) < DRY ? "visible" : "hidden");
  change(stroke.film, "stroke", colour);
  // What holds no column is as pale as an empty tube.
  change(stroke.casing, "stroke-opacity", full ? "1" : "0.35");
  change(stroke.base, "visibility", to > from ? "visible" : "hidden");
  change(stroke.base, "stroke-dasharray", full ? "none" : `0 ${from.toFixed(3)} ${(to - from).toFixed(3)} 2`);
  if (!full) change(stroke.front, "visibility", "hidden");
}

/** Arrow and dashes the way the line flows. */
function direct(stroke, flow, still, width, room) {
  stroke.speed = still ? 0 : Math.sign(flow) * (14 + 5 * width);
  if (stroke.dash) {
    change(stroke.dash, "visibility", still ? "hidden" : "visible");
    change(stroke.dash, "stroke-width", Math.min(2.4, width * 0.3).toFixed(1));
  }
  if (stroke.arrow) {
    const { x, y, angle } = stroke.piece;
    const size = (0.45 * room + width / 18).toFixed(2);
    const turned = flow >= 0 ? angle : angle + 180;
    change(stroke.arrow, "visibility", still ? "hidden" : "visible");
    change(stroke.arrow, "transform", `translate(${x} ${y}) rotate(${turned}) scale(${size})`);
  }
}

/** Tips, tanks and headers of one view. */
function showMarks({ machine, tips, tanks, bars }, place, colour, byPressure) {
  tips.forEach((tip, i) => {
    const runs = valueAt(machine.tip.flow[i], place) > 1e-6;
    const node = machine.drawing.tips[i].node;
    const value = valueAt(byPressure ? machine.node.pressure[node] : machine.tip.concentration[i], place);
    change(tip, "fill", runs ? colour(value) : "none");
    change(tip, "data-runs", String(runs));
  });
  tanks.forEach((tank, i) => {
    if (tank) change(tank, "fill", byPressure ? "var(--paper)" : colour(valueAt(machine.tank[i], place)));
  });
  bars.forEach((bar, i) => {
    const { node, line } = machine.drawing.bars[i];
    const passing = valueAt(machine.node.concentration[node], place);
    // A header that nothing has passed yet holds what the line beside it holds.
    const held = Number.isNaN(passing) && line !== null ? valueAt(machine.line.concentration[line], place) : passing;
    const { air } = machine.line;
    const empty = air && line !== null && valueAt(air[line], place) > 0.5;
    const full = colour(byPressure ? valueAt(machine.node.pressure[node], place) : held);
    change(bar, "stroke", empty && !byPressure ? "var(--paper)" : full);
  });
}

/** Moves the dashes on by `seconds` of watching. */
function moveDashes({ strokes }, seconds) {
  for (const stroke of strokes) {
    if (!stroke.dash || !stroke.speed) continue;
    stroke.run = (stroke.run - seconds * stroke.speed) % 18;
    stroke.dash.setAttribute("stroke-dashoffset", stroke.run.toFixed(1));
  }
}
