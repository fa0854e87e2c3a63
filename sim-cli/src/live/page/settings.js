// Settings: sliders, choices and switches, grouped as liquid flows.

const GROUPS = [
  ["step", "This step"],
  ["tank", "Tank and liquid"],
  ["supply", "Pump to header"],
  ["sections", "Sections"],
  ["return", "Way back"],
  ["tips", "Tips and travel"],
  ["air", "Compressed air"],
  ["valves", "Section valves"],
];

/** A number with no more digits than it needs. */
function plainNumber(value) {
  return String(Number(value.toPrecision(6)));
}

/** The control of one setting in `holder`; `changed(value)` is given the value as a scenario writes it. */
function settingOf(control, holder, changed) {
  const row = element("div", { class: "setting", "data-path": control.path }, holder);
  const make = { slider: sliderSetting, choice: choiceSetting, switches: switchSetting, flag: flagSetting };
  return make[control.kind](control, row, changed);
}

function sliderSetting(control, row, changed) {
  const label = element("label", {}, row);
  element("span", { class: "of", text: control.words }, label);
  const shownValue = element("span", { class: "value" }, label);
  const input = element("input", { type: "range" }, label);
  const show = (value, unit) => {
    shownValue.textContent = `${plainNumber(value)} ${unit}`;
    input.setAttribute("aria-valuetext", shownValue.textContent);
  };
  let { unit } = control;
  input.addEventListener("input", () => {
    show(Number(input.value), unit);
    changed(`${plainNumber(Number(input.value))} ${unit}`);
  });
  return (next) => {
    ({ unit } = next);
    for (const name of ["min", "max", "step"]) input[name] = next[name];
    if (Number(input.value) !== next.value) input.value = next.value;
    show(next.value, unit);
  };
}

function choiceSetting(control, row, changed) {
  const label = element("label", {}, row);
  element("span", { class: "of", text: control.words }, label);
  const list = element("select", {}, label);
  list.addEventListener("change", () => changed(list.value));
  return (next) => {
    const known = JSON.stringify(next.options);
    if (list.dataset.known !== known) {
      list.replaceChildren();
      for (const [value, text] of next.options) element("option", { value, text }, list);
      list.dataset.known = known;
    }
    list.value = next.value;
  };
}

function switchSetting(control, row, changed) {
  const group = element("fieldset", { class: "switches" }, row);
  element("legend", { text: control.words }, group);
  const boxes = control.names.map((name) => {
    const label = element("label", {}, group);
    const box = element("input", { type: "checkbox" }, label);
    element("span", { text: name }, label);
    box.addEventListener("change", () => {
      const open = control.names.filter((_, i) => boxes[i].checked);
      changed(`[${open.map((one) => JSON.stringify(one)).join(", ")}]`);
    });
    return box;
  });
  return (next) => boxes.forEach((box, i) => {
    box.checked = next.on[i];
  });
}

function flagSetting(control, row, changed) {
  const label = element("label", { class: "flag" }, row);
  const box = element("input", { type: "checkbox" }, label);
  element("span", { text: control.words }, label);
  box.addEventListener("change", () => changed(String(box.checked)));
  return (next) => {
    box.checked = next.on;
  };
}

/** Which controls there are: others are made anew, the same only show their values. */
function sameControls(a, b) {
  const kinds = (list) => list.map(({ path, kind, words, names }) => [path, kind, words, names]);
  return JSON.stringify(kinds(a)) === JSON.stringify(kinds(b));
}

/** The panel of settings in `holder`; `changed(path, value)` is called at each change. */
function settingsPanel(holder, changed) {
  let [controls, setters] = [[], []];
  function build(next) {
    const focused = document.activeElement?.closest(".setting")?.dataset.path;
    holder.replaceChildren();
    setters = new Array(next.length);
    for (const [key, words] of GROUPS) {
      const members = next.map((control, i) => [control, i]).filter(([control]) => control.group === key);
      if (members.length === 0) continue;
      const group = element("details", { class: "group" }, holder);
      group.open = key !== "valves";
      element("summary", { text: words }, group);
      for (const [control, i] of members) {
        setters[i] = settingOf(control, group, (value) => changed(control.path, value));
      }
    }
    if (focused) holder.querySelector(`[data-path="${CSS.escape(focused)}"] :is(input, select)`)?.focus();
  }
  return (next) => {
    if (!sameControls(controls, next)) build(next);
    controls = next;
    next.forEach((control, i) => setters[i](control));
  };
}
