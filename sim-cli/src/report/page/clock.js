// The slider, play, and the steps: one clock for every machine of a page.

/** Places of the slider: one press of an arrow key goes on by one. */
const PLACES = 400;
/** How many times faster than the machine a run can play. */
const RATES = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
/** How long playing a whole run should take about, s. */
const WATCHED_S = 24;
/** Time between two pictures where less motion is asked for, ms. */
const CALM_MS = 800;
/** Most steps that have a button each; more share a list. */
const MOST_BUTTONS = 8;

/** Buttons, or a list, to go to a step. */
function stepChooser(holder, steps, go) {
  if (steps.length < 2) return () => {};
  if (steps.length > MOST_BUTTONS) {
    const label = element("label", { class: "steps", text: "Step " }, holder);
    const list = element("select", {}, label);
    steps.forEach((step, i) => element("option", { value: i, text: step.name }, list));
    list.addEventListener("change", () => go(Number(list.value)));
    return (step) => {
      list.value = String(step);
    };
  }
  const group = element("div", { class: "steps", role: "group", "aria-label": "Steps" }, holder);
  const buttons = steps.map((step, i) => {
    const button = element("button", { type: "button", text: step.name }, group);
    button.addEventListener("click", () => go(i));
    return button;
  });
  return (step) => buttons.forEach((button, i) => button.setAttribute("aria-pressed", String(i === step)));
}

/** Where steps begin and tips came full, as marks under the slider. */
function marks(holder, machines, end) {
  const strip = element("div", { class: "marks", "aria-hidden": "true" }, holder);
  const at = (time, name, text, row) => {
    const mark = element("span", { class: name }, strip);
    mark.style.top = `${row * 1.05}rem`;
    mark.style.left = `${(100 * time) / end}%`;
    if (text) {
      element("span", { text }, mark);
      if (time > 0.5 * end) mark.classList.add("late");
    }
  };
  const [first] = machines;
  const lasting = first.steps.filter((step) => step.lasts);
  if (machines.length === 1 && lasting.length <= 60) {
    for (const step of lasting) if (step.from > 0) at(step.from, "begins", "", 0);
  }
  machines.forEach((machine, i) => {
    const full = machine.steps.find((step) => step.full !== undefined);
    const letter = machines.length > 1 ? `${"ABCDEFGH"[i] ?? ""}: ` : "";
    if (full) at(full.full, "full", `${letter}every tip full, ${shownTime(full.full)}`, i);
  });
  strip.style.height = `${0.15 + 1.05 * machines.length}rem`;
}

/**
 * The clock of `machines` in `holder`: calls `show(view)` at every change, `flow(seconds)` while it plays.
 * Returns what goes to a time.
 */
function clock(holder, machines, show, flow) {
  const [first] = machines;
  const end = Math.max(...machines.map((machine) => machine.end));
  const state = { time: 0, playing: false, last: 0 };
  const controls = element("div", { class: "controls" }, holder);
  const chosen = stepChooser(controls, first.steps, (i) => {
    pause();
    const step = first.steps[i];
    if (step.lasts) goTo(step.from);
    else tell({ time: null, step: i, name: step.name });
  });
  const moving = end > 0 ? slider(controls, machines, end) : null;

  function tell(view) {
    chosen(view.step);
    if (moving) moving.set(view, state.playing);
    show(view);
  }

  function goTo(time) {
    state.time = Math.min(Math.max(time, 0), end);
    const moment = placeOf(first, { time: state.time }).from;
    const step = first.stepOf[moment];
    tell({ time: state.time, step, name: first.steps[step].name });
  }

  function pause() {
    state.playing = false;
    if (moving) moving.playing(false);
  }

  function tick(now) {
    if (!state.playing) return;
    const passed = Math.min((now - state.last) / 1000, 0.25);
    const calm = lessMotion();
    if (!calm || now - state.last >= CALM_MS) {
      state.last = now;
      goTo(state.time + (calm ? CALM_MS / 1000 : passed) * moving.rate());
      if (!calm) flow(passed);
      if (state.time >= end) pause();
    }
    window.requestAnimationFrame(tick);
  }

  if (moving) {
    moving.onSlide((time) => {
      pause();
      goTo(time);
    });
    moving.onPlay(() => {
      if (state.playing) return pause();
      state.playing = true;
      moving.playing(true);
      if (state.time >= end) state.time = 0;
      state.last = window.performance.now();
      return window.requestAnimationFrame(tick);
    });
    // A page opens in the middle of what it has to show: on the way to full strength, where that is known.
    const fulls = machines.flatMap((machine) => machine.steps.map((step) => step.full ?? Infinity));
    goTo(Math.min(0.6 * Math.min(...fulls), end / 2));
  } else {
    tell({ time: null, step: 0, name: first.steps[0].name });
  }
  return (time) => {
    pause();
    goTo(time);
  };
}

/** Play, the slider and how fast it plays. */
function slider(controls, machines, end) {
  const row = element("div", { class: "slide" }, controls);
  const play = element("button", { type: "button", class: "play", text: "▶ Play" }, row);
  const track = element("div", { class: "track" }, row);
  const range = element("input", {
    type: "range", min: 0, max: PLACES, step: 1, value: 0, "aria-label": "Time of the run", class: "time",
  }, track);
  marks(track, machines, end);
  const told = element("output", { class: "told" }, row);
  const label = element("label", { class: "rate", text: "Speed " }, row);
  const rates = element("select", {}, label);
  const rate = RATES.find((one) => end / one <= WATCHED_S) ?? RATES[RATES.length - 1];
  for (const one of RATES) element("option", { value: one, text: `× ${one}` }, rates);
  rates.value = String(rate);
  return {
    rate: () => Number(rates.value),
    playing: (on) => {
      play.textContent = on ? "❚❚ Pause" : "▶ Play";
      play.setAttribute("aria-pressed", String(on));
    },
    set: (view) => {
      range.disabled = false;
      if (view.time === null) {
        told.textContent = "steady";
        return;
      }
      range.value = String(Math.round((view.time / end) * PLACES));
      told.textContent = `${shownTime(view.time)} of the run`;
      range.setAttribute("aria-valuetext", `${shownTime(view.time)} of the run, step ${view.name}`);
    },
    onSlide: (call) => range.addEventListener("input", () => call((Number(range.value) / PLACES) * end)),
    onPlay: (call) => play.addEventListener("click", call),
  };
}
