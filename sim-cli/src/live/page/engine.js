// The engine behind the page: asked in JSON, gives numbers to draw.

/** The module of WebAssembly that the page holds, compiled. */
async function unpacked(text) {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

/** Asks `module`; one that gave up is made anew and told what it has to know. */
function engineOf(module, files) {
  const [encoder, decoder] = [new TextEncoder(), new TextDecoder()];
  let last = [];
  let parts = null;

  function fresh() {
    parts = new WebAssembly.Instance(module, {}).exports;
    put({ do: "files", files });
    for (const question of last) put(question);
  }

  function put(question) {
    const bytes = encoder.encode(JSON.stringify(question));
    const room = parts.room(bytes.length);
    new Uint8Array(parts.memory.buffer, room, bytes.length).set(bytes);
    const length = parts.ask();
    return JSON.parse(decoder.decode(new Uint8Array(parts.memory.buffer, parts.answer(), length)));
  }

  /** The answer to `question`; of one that the engine cannot bear, what it says. */
  function ask(question) {
    try {
      const answer = put(question);
      if (question.do === "text" && !answer.faults) last = [question];
      return answer;
    } catch (error) {
      fresh();
      return { untrusted: "this cannot be computed; the run is lost, the last valid text is kept", gaveUp: true };
    }
  }

  /** Copies the numbers of the moment into `numbers`. */
  function read(numbers) {
    const length = parts.frame_len();
    if (length !== numbers.length) return false;
    numbers.set(new Float32Array(parts.memory.buffer, parts.frame(), length));
    return true;
  }

  fresh();
  return { ask, read };
}

/** The drawing that the command has made, where it is one of the same parts: engines know no layers of a network. */
function bestDrawing(drawing, made) {
  const parts = (of) => JSON.stringify([of.lines.map(({ name, from, to }) => [name, from, to]), of.tips.map(({ name }) => name)]);
  if (!made || drawing.boom || parts(made) !== parts(drawing)) return drawing;
  const lines = made.lines.map((line, i) => ({ ...line, area: drawing.lines[i].area, what: drawing.lines[i].what }));
  return { ...made, lines };
}

/** A machine as the drawing takes it: its figures are windows on one list of numbers. */
function liveMachine(of) {
  const [lines, nodes, tips, tanks] = of.counts;
  const numbers = new Float32Array(6 * lines + 2 * nodes + 2 * tips + tanks);
  let at = 0;
  const windows = (count) => Array.from({ length: count }, () => numbers.subarray(at, (at += 1)));
  const line = { flow: windows(lines), concentration: windows(lines), leaving: windows(lines), air: windows(lines) };
  line.column = { from: windows(lines), to: windows(lines) };
  const node = { concentration: windows(nodes), pressure: windows(nodes) };
  const tip = { concentration: windows(tips), flow: windows(tips) };
  return {
    ...of,
    numbers,
    line,
    node,
    tip,
    tank: windows(tanks),
    steps: [{ name: "now" }],
    stepOf: [0],
    timed: [],
    time: [0],
    end: 0,
  };
}

/** The only moment that a live machine shows. */
const NOW = { time: null, step: 0, name: "now" };
