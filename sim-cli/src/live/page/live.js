// Puts the live page together: one text, one machine, everything that shows or changes them.

const page = JSON.parse(document.getElementById("data").textContent);
const map = colourMap(page.map);
/** Time between two answers while a run plays, ms. */
const ANSWER_EVERY_MS = 400;
/** Time after which tables follow a change, ms. */
const TABLES_AFTER_MS = 60;

/** The colours that a state is read by: of a run what lines hold, of a steady state the pressure. */
function usualColours(shows) {
  if (shows.time === null) return "pressure";
  return shows.steps[shows.number]?.air ? "holds" : "concentration";
}

function notice(text) {
  if (at("notice").textContent !== text) at("notice").textContent = text;
}

/** The whole page on `engine`. */
function livePage(engine, begin) {
  const shows = { steps: [], number: 0, time: null, answer: null, before: null, chosenColours: false };
  let scene = null;
  let stepMark = () => {};
  const history = historyOf(begin);
  const top = element("div", { class: "colours" }, at("bar"));
  const colourLabel = element("label", { text: "Colour shows " }, top);
  const colours = element("select", {}, colourLabel);
  const scale = legend(element("span", { class: "legend" }, top), page.map);
  const stepBar = element("div", { class: "steps", role: "group", "aria-label": "Steps" }, at("bar"));
  const board = answerBoard(at("limits"), at("answers"));
  const panel = settingsPanel(at("settings"), change);
  const editor = editorOf(at("editor"), (text) => take(text, "text"));
  const keep = addressKeeper(stateNow);
  const clock = player(at("bar"), {
    begin: () => went(engine.ask({ do: "begin" }), true),
    play: (to) => went(engine.ask({ do: "play", to })),
    back: (to) => went(engine.ask({ do: "back", to }), true),
    stop: () => went(engine.ask({ do: "stop" }), true),
    flow: (seconds) => scene.picture.flow(seconds),
    paused: () => {
      answers();
      keep();
    },
  });
  const tools = toolbar();

  /** What a link has to carry: every part of the run, or the text and the step. */
  function stateNow() {
    if (shows.time === null) return { text: editor.text(), number: shows.number };
    const { parts, time } = engine.ask({ do: "parts" });
    return { parts, time };
  }

  function toolbar() {
    const row = element("div", { class: "tools" }, at("bar"));
    const button = (text, call) => {
      const made = element("button", { type: "button", text }, row);
      made.addEventListener("click", call);
      return made;
    };
    const undo = button("Undo", () => travel(history.back()));
    const redo = button("Redo", () => travel(history.forth()));
    button("Compare with this", () => ghost(true));
    button("No comparison", () => ghost(false));
    button("Save as a scenario", () => {
      const { text } = engine.ask({ do: "scenario" });
      save(new Blob([text], { type: "application/toml" }), "live.toml");
    });
    button("Save the picture", () => save(pictureOf(scene.picture.svg), "boom.svg"));
    return () => [undo, redo].forEach((one, i) => {
      one.disabled = !history.can()[i];
    });
  }

  function travel(text) {
    if (text !== null) take(text, null);
  }

  function ghost(on) {
    shows.fixed = on;
    shows.before = on ? snapshot() : null;
    if (!on) shows.fixed = false;
    draw();
    answersShown();
  }

  function snapshot() {
    if (!shows.answer || !scene) return null;
    return { answer: shows.answer, lists: scene.strip?.lists(), pressure: [...scene.machine.node.pressure.map((one) => one[0])], of: scene.machine };
  }

  /** A setting has been changed by hand. */
  function change(path, value) {
    const began = performance.now();
    const { text, error } = engine.ask({ do: "set", path, value });
    if (error) return notice(error);
    take(text, path);
    document.documentElement.dataset.drawnMs = (performance.now() - began).toFixed(2);
  }

  /** Takes `text`, changed by `hand`; what is not valid is marked, and everything stays. */
  function take(text, hand) {
    editor.put(text);
    const earlier = shows.fixed ? shows.before : snapshot();
    const taken = engine.ask({ do: "text", text });
    if (taken.faults) {
      editor.faults(taken.faults);
      document.body.dataset.valid = "false";
      return notice(`The text has ${taken.faults.length === 1 ? "a fault" : "faults"}: shown is the last valid state.`);
    }
    if (taken.error) {
      editor.faults([]);
      document.body.dataset.valid = "false";
      return notice(`${taken.error}. Shown is the last state that was.`);
    }
    document.body.dataset.valid = "true";
    editor.notes(taken.ignored ?? []);
    if (history.keep(text, hand) && !shows.fixed && hand !== null) shows.before = earlier;
    show(taken);
    notice(taken.restarted ? "The machine is another one: the run has ended, and its steady state is shown." : taken.untrusted ?? "");
    keep();
  }

  /** Where the run is after it `answered`; the answers follow now, or soon. */
  function went(answered, now = false) {
    if (answered.untrusted) {
      shows.time = null;
      notice(`The run has ended: ${answered.untrusted}`);
      show(engine.ask({ do: "step", number: shows.number }));
      return null;
    }
    shows.time = answered.time ?? null;
    if (answered.text) {
      editor.put(answered.text);
      history.keep(answered.text, "back");
      show(engine.ask({ do: "text", text: answered.text }));
    } else if (answered.moved) {
      show(engine.ask({ do: "step", number: answered.number }));
    }
    draw();
    if (now || performance.now() - (shows.answeredAt ?? 0) > ANSWER_EVERY_MS) answers();
    return shows.time === null ? null : { time: shows.time, over: answered.over };
  }

  /** Shows a state that the engine has `taken` or turned to. */
  function show(taken) {
    if (taken.machine) {
      const drawing = bestDrawing(taken.machine.drawing, page.drawing);
      const machine = liveMachine({ ...taken.machine, drawing, title: taken.title });
      engine.read(machine.numbers);
      scene = stage(machine, page, map);
      scene.strip?.onChange(draw);
      shows.top = 0;
    }
    if (taken.steps) {
      at("title").textContent = taken.title;
      at("about").textContent = taken.about ?? "";
      document.title = `${taken.title}, live`;
      Object.assign(shows, { steps: taken.steps, number: taken.number });
      shows.time = taken.time ?? null;
      panel(taken.controls);
      showSteps();
    }
    if (taken.answer) shows.answer = taken.answer;
    if (taken.untrusted) notice(taken.untrusted);
    if (scene) scene.machine.off = shows.answer?.off_table;
    clock.at(shows.time === null ? null : { time: shows.time });
    if (!shows.chosenColours) offerColours();
    draw();
    answersShown();
    tools();
  }

  function goToStep(number) {
    shows.before = shows.fixed ? shows.before : snapshot();
    show(engine.ask({ do: "step", number }));
    keep();
  }

  function showSteps() {
    const names = JSON.stringify(shows.steps.map((step) => step.name));
    if (stepBar.dataset.names !== names) {
      stepBar.dataset.names = names;
      stepBar.replaceChildren();
      stepMark = stepButtons(stepBar, shows.steps, goToStep);
    }
    stepMark(shows.number);
  }

  function offerColours() {
    const airy = shows.steps.some((step) => step.air);
    const kinds = [["pressure", "pressure"], ...(shows.time === null ? [] : [CONCENTRATION, ...(airy ? [CONTENT] : [])])];
    const known = JSON.stringify(kinds);
    if (colours.dataset.known !== known) {
      colours.dataset.known = known;
      colours.replaceChildren();
      for (const [value, text] of kinds) element("option", { value, text }, colours);
      colours.value = usualColours(shows);
      scene?.strip?.kind(colours.value === "concentration" ? "concentration" : "pressure");
    }
  }

  /** Draws the numbers of the moment. */
  function draw() {
    if (!scene || !engine.read(scene.machine.numbers)) return;
    const { machine, picture, strip, gauges, units } = scene;
    const most = largest(machine.line.flow);
    // Widths stay comparable while something is changed, and grow with what grows.
    if (most > shows.top || most < 0.2 * shows.top) {
      shows.top = most;
      picture.rescale(most);
    }
    const range = pressureRange(machine, NOW, page.least_span);
    picture.show(NOW, colours.value, range);
    if (colours.value === "holds") scale.holds();
    else if (colours.value === "concentration") scale.scale("0 %", "100 %");
    else scale.scale(...range.map((end) => shown(end, units.pressure)));
    const before = shows.before?.of === machine || shows.before?.pressure.length === machine.node.pressure.length ? shows.before : null;
    strip?.show(before?.lists);
    for (const gauge of gauges) {
      gauge.is.textContent = shown(machine.node.pressure[gauge.node][0], units.pressure);
      const was = before && before.of === machine ? shown(before.pressure[gauge.node], units.pressure) : "";
      gauge.was.textContent = was && was !== gauge.is.textContent ? ` was ${was}` : "";
    }
    const words = liveWords(scene, shows);
    at("words").textContent = words;
    picture.svg.setAttribute("aria-label", `Plumbing of ${machine.title}. ${words}`);
  }

  function answers() {
    shows.answeredAt = performance.now();
    const now = engine.ask({ do: "findings" });
    if (now.answer) shows.answer = now.answer;
    if (scene) scene.machine.off = shows.answer?.off_table;
    offerColours();
    draw();
    answersShown();
  }

  /** Tables follow a little later: a drawing that is dragged must not wait for them. */
  function answersShown() {
    if (shows.writing) return;
    shows.writing = true;
    setTimeout(() => {
      shows.writing = false;
      if (shows.answer) board(shows.answer, shows.before?.answer);
    }, TABLES_AFTER_MS);
  }

  colours.addEventListener("change", draw);
  document.addEventListener("keydown", (event) => {
    const key = event.key.toLowerCase();
    const command = event.ctrlKey || event.metaKey;
    if (command && (key === "z" || key === "y")) {
      event.preventDefault();
      travel(key === "y" || event.shiftKey ? history.forth() : history.back());
    } else if (key === " " && event.target === document.body) {
      event.preventDefault();
      clock.toggle();
    }
  });

  /** Takes a state that a link has brought. */
  function restore(state) {
    if (!state.parts) {
      take(state.text, "link");
      if (state.number > 0) show(engine.ask({ do: "step", number: state.number }));
      return;
    }
    const [[, number, text], ...changes] = state.parts;
    take(text, "link");
    show(engine.ask({ do: "step", number }));
    went(engine.ask({ do: "begin" }), true);
    for (const [time, next, changed] of changes) {
      engine.ask({ do: "play", to: time });
      if (changed !== editor.text()) take(changed, "link");
      show(engine.ask({ do: "step", number: next }));
    }
    clock.at(went(engine.ask({ do: "play", to: state.time }), true));
  }

  return { take, restore, ask: engine.ask };
}

async function openPage() {
  if (typeof WebAssembly !== "object" || typeof DecompressionStream !== "function") {
    notice("This browser cannot compute here: it lacks WebAssembly or DecompressionStream. The report of `millstream run` opens in it.");
    return;
  }
  const engine = engineOf(await unpacked(at("module").textContent.trim()), page.files);
  const live = livePage(engine, page.text);
  live.take(page.text, null);
  const state = await stateOfAddress();
  if (state) live.restore(state);
  Object.assign(window, { live });
  document.documentElement.dataset.ready = "true";
}

openPage().catch((error) => notice(`The page could not start: ${error.message}`));
