// What is along the boom: a curve over the tips, and how it was.

const STRIP = { width: 1000, height: 190, left: 58, right: 14, top: 22, bottom: 28 };
/** Least span of what is shown, as a share of its top; in percent where it is percent already. */
const LEAST_SHARE = 0.1;
const LEAST_PERCENT = 4;

/** What the strip can show: a name, the numbers of a machine, the unit. */
function stripKinds(machine) {
  return [
    ["pressure", "pressure at the tips", () => machine.drawing.tips.map((tip) => machine.node.pressure[tip.node][0]), machine.units.pressure],
    ["flow", "flow of the tips", () => machine.tip.flow.map((one) => one[0]), machine.units.flow],
    ["off", "flow against the table", () => machine.off ?? [], PERCENT],
    ["concentration", "concentration at the tips", () => machine.tip.concentration.map((one) => one[0]), PERCENT],
  ];
}

/** Lowest and highest of `lists`, at least as far apart as is worth a look. */
function stripSpan(lists, kind) {
  if (kind === "concentration") return [0, 100];
  let [low, high] = [Infinity, -Infinity];
  for (const list of lists) {
    for (const value of list) {
      if (value === null || Number.isNaN(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low > high) return [0, 1];
  const least = kind === "off" ? LEAST_PERCENT : Math.max(LEAST_SHARE * Math.abs(high), 1e-3);
  const room = Math.max(0, least - (high - low)) / 2 + 0.04 * (high - low);
  return [low - room, high + room];
}

/** A curve through what is known of `values`; a point alone is a short stroke. */
function stripCurve(values, x, y) {
  let [d, open] = ["", false];
  values.forEach((value, i) => {
    const known = value !== null && !Number.isNaN(value);
    if (known) d += `${open ? "L" : "M"}${x(i).toFixed(1)} ${y(value).toFixed(1)}${open ? "" : "h.1"}`;
    open = known;
  });
  return d;
}

/** The strip in `holder` for one machine. */
function alongBoom(holder, machine) {
  const { width, height, left, right, top, bottom } = STRIP;
  const kinds = stripKinds(machine);
  const label = element("label", { class: "pick", text: "Along the boom: " }, holder);
  const list = element("select", {}, label);
  for (const [value, text] of kinds) element("option", { value, text }, list);
  const svg = drawn("svg", { viewBox: `0 0 ${width} ${height}`, class: "strip", role: "img" }, holder);
  const axes = drawn("g", {}, svg);
  const before = drawn("path", { class: "ghost", d: "" }, svg);
  const now = drawn("path", { class: "curve", d: "" }, svg);
  const legend = drawn("text", { class: "small", x: width - right, y: 14, "text-anchor": "end" }, svg);
  const places = machine.places;
  const ends = [Math.min(...places), Math.max(...places)];
  const wide = Math.max(ends[1] - ends[0], 1e-9);
  const x = (i) => left + ((places[i] - ends[0]) / wide) * (width - left - right);
  let shownSpan = null;

  function axesOf([low, high], unit) {
    const y = (value) => height - bottom - ((value - low) / (high - low)) * (height - top - bottom);
    axes.replaceChildren();
    const step = tickStep(high - low, 3);
    for (let value = Math.ceil(low / step) * step; value <= high + 1e-9; value += step) {
      drawn("path", { d: `M${left} ${y(value)}H${width - right}`, class: "grid" }, axes);
      const text = drawn("text", { x: left - 7, y: y(value) + 5, "text-anchor": "end" }, axes);
      text.textContent = Number(value.toFixed(6)).toString();
    }
    const along = tickStep(wide, 6);
    for (let place = Math.ceil(ends[0] / along) * along; place <= ends[1] + 1e-9; place += along) {
      const at = left + ((place - ends[0]) / wide) * (width - left - right);
      const text = drawn("text", { x: at, y: height - 8, "text-anchor": "middle" }, axes);
      text.textContent = `${Number(place.toFixed(6))} ${machine.length}`;
    }
    drawn("text", { x: left, y: 14, class: "title" }, axes).textContent = unit.symbol;
    return y;
  }

  /** Shows the machine as it is, and `ghost`, lists by kind of how it was. */
  function show(ghost) {
    const [kind, words, get, unit] = kinds.find(([value]) => value === list.value);
    const values = get();
    const was = ghost?.[kind]?.length === values.length ? ghost[kind] : [];
    const [low, high] = stripSpan([values, was], kind);
    // A scale that follows every twitch cannot be read: it moves where the curve leaves it or has become small in it.
    const fits = shownSpan?.kind === kind && low >= shownSpan.low - 1e-9 && high <= shownSpan.high + 1e-9 &&
      high - low > 0.3 * (shownSpan.high - shownSpan.low);
    if (!fits) shownSpan = { kind, low, high, y: axesOf([low, high], unit) };
    change(now, "d", stripCurve(values, x, shownSpan.y));
    change(before, "d", stripCurve(was, x, shownSpan.y));
    const known = values.filter((value) => value !== null && !Number.isNaN(value));
    const range = known.length > 0 ? `${shown(Math.min(...known), unit)} to ${shown(Math.max(...known), unit)}` : "nothing flows";
    legend.textContent = was.length > 0 ? `dashed: as it was` : "";
    svg.setAttribute("aria-label", `${words} along the boom: ${range}`);
  }

  return {
    show,
    kind: (value) => {
      if ([...list.options].some((option) => option.value === value)) list.value = value;
    },
    onChange: (call) => list.addEventListener("change", call),
    lists: () => Object.fromEntries(kinds.map(([kind, , get]) => [kind, [...get()]])),
  };
}
