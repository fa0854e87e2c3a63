// Play, pause, how fast, back again: the clock of the page.

const LIVE_RATES = [1, 2, 5, 10, 20];
/** Computing that a picture may wait for, ms: beyond it the run plays slower than asked for. */
const BUDGET_MS = 20;
/** Time between two pictures where less motion is asked for, ms. */
const LIVE_CALM_MS = 800;

/**
 * The player in `holder`. `run` begins, plays to a time, goes back to one, and ends; each returns where the run then is,
 * `{time, over}`, or nothing where there is none.
 */
function player(holder, run) {
  const row = element("div", { class: "slide" }, holder);
  const play = element("button", { type: "button", class: "play", text: "▶ Play" }, row);
  const again = element("button", { type: "button", class: "again", text: "Steady state", hidden: "" }, row);
  const rateLabel = element("label", { text: "Speed " }, row);
  const rate = element("select", {}, rateLabel);
  for (const value of LIVE_RATES) element("option", { value, text: `${value}×` }, rate);
  rate.value = "5";
  const track = element("label", { class: "track" }, row);
  const range = element("input", { type: "range", min: 0, max: 1, step: 0.1, value: 0, disabled: "", "aria-label": "Time of the run; earlier goes back" }, track);
  const told = element("output", { class: "told" }, row);
  const state = { playing: false, last: 0, clock: 0, time: null, furthest: 0, cost: 0, pace: 0, over: false };

  function show(where) {
    state.time = where ? where.time : null;
    state.over = where?.over === true;
    state.furthest = where ? Math.max(state.furthest, where.time) : 0;
    again.hidden = !where;
    range.disabled = !where;
    range.max = String(Math.max(state.furthest, 1));
    range.value = String(state.time ?? 0);
    const slower = state.playing && state.pace > 0 && state.pace < 0.8 * Number(rate.value);
    const pace = slower ? `, as fast as it computes: ${state.pace.toFixed(1)}×` : "";
    told.textContent = state.time === null ? "steady state" : shownTime(state.time) + pace;
    range.setAttribute("aria-valuetext", told.textContent);
  }

  function pause() {
    if (!state.playing) return;
    state.playing = false;
    play.textContent = "▶ Play";
    run.paused();
  }

  function tick(now) {
    if (!state.playing) return;
    const calm = lessMotion();
    const passed = Math.min((now - state.last) / 1000, calm ? 2 : 0.1);
    if (!calm || now - state.last >= LIVE_CALM_MS) {
      state.last = now;
      let by = passed * Number(rate.value);
      // No more than can be computed between two pictures.
      if (state.cost > 0) by = Math.min(by, BUDGET_MS / 1000 / state.cost);
      state.clock += by;
      const [began, from] = [performance.now(), state.time ?? 0];
      const where = run.play(state.clock);
      const [spent, gone] = [(performance.now() - began) / 1000, (where?.time ?? from) - from];
      if (gone > 0) state.cost += 0.2 * (spent / gone - state.cost);
      state.pace += 0.1 * (by / Math.max(passed, 1e-3) - state.pace);
      show(where);
      if (!calm) run.flow(passed);
      if (!where || where.over) pause();
    }
    window.requestAnimationFrame(tick);
  }

  function start() {
    if (state.time === null || state.over) {
      const where = run.begin();
      if (!where) return;
      state.furthest = 0;
      show(where);
    }
    state.clock = state.time;
    state.playing = true;
    state.pace = Number(rate.value);
    play.textContent = "❚❚ Pause";
    state.last = performance.now();
    window.requestAnimationFrame(tick);
  }

  let wanted = null;
  range.addEventListener("input", () => {
    pause();
    const was = wanted;
    wanted = Number(range.value);
    if (was !== null) return;
    window.requestAnimationFrame(() => {
      const to = wanted;
      wanted = null;
      const where = to < (state.time ?? 0) ? run.back(to) : run.play(to);
      state.clock = where?.time ?? 0;
      show(where);
      range.value = String(to);
    });
  });
  play.addEventListener("click", () => (state.playing ? pause() : start()));
  again.addEventListener("click", () => {
    pause();
    state.furthest = 0;
    run.stop();
    show(null);
  });
  return {
    pause,
    toggle: () => play.click(),
    /** The run is at another moment, or is no more. */
    at: (where) => {
      if (!where) pause();
      show(where);
      state.clock = where?.time ?? 0;
    },
    playing: () => state.playing,
  };
}
