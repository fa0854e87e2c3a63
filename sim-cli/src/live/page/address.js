// The state of the page in its address, and undoing.

/** `text` through a stream that packs or unpacks, as bytes. */
async function throughStream(bytes, stream) {
  const passed = new Blob([bytes]).stream().pipeThrough(stream);
  return new Uint8Array(await new Response(passed).arrayBuffer());
}

/** `state` as a piece of an address. */
async function packedState(state) {
  const bytes = new TextEncoder().encode(JSON.stringify(state));
  const packed = await throughStream(bytes, new CompressionStream("deflate-raw"));
  let letters = "";
  for (const byte of packed) letters += String.fromCharCode(byte);
  return btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** The state in the address; nothing where there is none, or none that can be read. */
async function stateOfAddress() {
  const found = /^#at=([\w-]+)$/.exec(window.location.hash);
  if (!found) return null;
  try {
    const letters = atob(found[1].replaceAll("-", "+").replaceAll("_", "/"));
    const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    const state = await throughStream(bytes, new DecompressionStream("deflate-raw"));
    return JSON.parse(new TextDecoder().decode(state));
  } catch {
    return null;
  }
}

/** Writes the state into the address soon after it has changed. */
function addressKeeper(state) {
  let timer = null;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(async () => {
      const hash = `#at=${await packedState(state())}`;
      try {
        window.history.replaceState(null, "", hash);
      } catch {
        window.location.replace(hash);
      }
    }, 400);
  };
}

/** Changes within this time by the same hand are one, ms. */
const ONE_CHANGE_MS = 1200;

/** A history of texts: what `back` and `forth` return is to be taken. */
function historyOf(first) {
  const [past, future] = [[first], []];
  let [last, by] = [0, null];
  return {
    /** Keeps `text`, changed by `hand`; whether that began a new change. */
    keep: (text, hand) => {
      if (text === past[past.length - 1]) return false;
      const goes = performance.now() - last < ONE_CHANGE_MS && hand === by && past.length > 1;
      [last, by] = [performance.now(), hand];
      future.length = 0;
      if (goes) past[past.length - 1] = text;
      else past.push(text);
      return !goes;
    },
    back: () => {
      if (past.length < 2) return null;
      future.push(past.pop());
      by = null;
      return past[past.length - 1];
    },
    forth: () => {
      if (future.length === 0) return null;
      past.push(future.pop());
      by = null;
      return past[past.length - 1];
    },
    can: () => [past.length > 1, future.length > 0],
  };
}
