// The data of the page, opened for drawing.

/** Stands in a series where there is no value. */
const NONE = -1e9;

/** A series of pairs (number of a moment, value from it on), opened to a value for each moment. */
function opened(series, count) {
  const values = new Float64Array(count);
  for (let pair = 0; pair < series.length; pair += 2) {
    const value = series[pair + 1] === NONE ? NaN : series[pair + 1];
    values.fill(value, series[pair]);
  }
  return values;
}

/** Every list of series under `group` opened. */
function openedAll(group, count) {
  if (Array.isArray(group)) return group.map((series) => opened(series, count));
  const open = {};
  for (const [name, list] of Object.entries(group)) open[name] = openedAll(list, count);
  return open;
}

/** A machine with its series opened, and which of its moments belong to time. */
function openedMachine(machine) {
  const { time, step, line, node, tip, tank } = machine.moments;
  const count = time.length;
  const timed = [];
  for (let k = 0; k < count; k += 1) if (machine.steps[step[k]].lasts) timed.push(k);
  const open = {
    ...machine,
    time,
    stepOf: step,
    timed,
    end: timed.length > 0 ? time[timed[timed.length - 1]] : 0,
    line: openedAll(line, count),
    node: openedAll(node, count),
    tip: openedAll(tip, count),
    tank: openedAll(tank, count),
  };
  return { ...open, changes: concentrationsChange(open) };
}

/** The last moment of step number `step`. */
function lastOfStep(machine, step) {
  return machine.stepOf.lastIndexOf(step);
}

/**
 * Where `view` lies among the moments of `machine`: between moments `from` and `to`, `share` of the way.
 * A view is a time, or a step that lasts none.
 */
function placeOf(machine, view) {
  if (view.time === null) {
    const named = machine.steps.findIndex((step) => step.name === view.name);
    const step = named >= 0 ? named : Math.min(view.step, machine.steps.length - 1);
    const moment = Math.max(lastOfStep(machine, step), 0);
    return { from: moment, to: moment, share: 0 };
  }
  const { timed, time } = machine;
  if (timed.length === 0) return { from: 0, to: 0, share: 0 };
  let low = 0;
  let high = timed.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[timed[middle]] <= view.time + 1e-9) low = middle;
    else high = middle;
  }
  const from = timed[low];
  const to = timed[Math.min(low + 1, timed.length - 1)];
  const gap = time[to] - time[from];
  const share = gap > 0 ? Math.min(Math.max((view.time - time[from]) / gap, 0), 1) : 0;
  return { from, to, share };
}

/** Value of a series at a place. */
function valueAt(values, place) {
  const start = values[place.from];
  if (place.share === 0) return start;
  const end = values[place.to];
  return Number.isNaN(end) ? start : start + place.share * (end - start);
}

/** `value` with as many digits as its unit is shown with, and the unit. */
function shown(value, unit) {
  if (value === undefined || Number.isNaN(value)) return "–";
  const text = value.toFixed(unit.decimals);
  const plain = Number(text) === 0 ? (0).toFixed(unit.decimals) : text;
  return `${plain} ${unit.symbol}`;
}

/** Whether `value` shows as more than nothing. */
function showsSomething(value, unit) {
  return Number(Math.abs(value).toFixed(unit.decimals)) > 0;
}

/** Change of a concentration, in percent, that is worth a colour. */
const LEAST_CHANGE = 0.5;

/** Whether the concentration of any line or tank changes while time passes. */
function concentrationsChange(machine) {
  return [...machine.line.concentration, ...machine.tank].some((series) => {
    let [low, high] = [Infinity, -Infinity];
    for (const k of machine.timed) {
      if (series[k] < low) low = series[k];
      if (series[k] > high) high = series[k];
    }
    return high - low > LEAST_CHANGE;
  });
}

const PERCENT = { symbol: "%", decimals: 1 };

/** A time as people say it, as finely as a run of its length asks for. */
function shownTime(seconds) {
  if (seconds < 119.95) return `${seconds.toFixed(1)} s`;
  const whole = Math.round(seconds);
  const parts = `${Math.floor(whole / 60) % 60} min ${whole % 60} s`;
  return whole < 3600 ? parts : `${Math.floor(whole / 3600)} h ${parts}`;
}
