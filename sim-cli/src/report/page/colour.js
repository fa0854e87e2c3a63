// Colours of concentration and pressure, from the map that came with the data.

/** A map from shares (0 to 1) to colours, blended between the colours of `stops`. */
function colourMap(stops) {
  const parts = stops.map((stop) => [1, 3, 5].map((at) => parseInt(stop.slice(at, at + 2), 16)));
  return (share) => {
    const at = Math.min(Math.max(share, 0), 1) * (parts.length - 1);
    const low = Math.min(Math.floor(at), parts.length - 2);
    const blend = parts[low].map((c, i) => Math.round(c + (at - low) * (parts[low + 1][i] - c)));
    return `rgb(${blend.join(",")})`;
  };
}

/** What the colours mean just now: their ends and unit. */
function legend(holder, stops) {
  const bar = document.createElement("span");
  bar.className = "bar";
  bar.style.background = `linear-gradient(to right, ${stops.join(", ")})`;
  const [low, high, name] = ["low", "high", "name"].map((part) => {
    const text = document.createElement("span");
    text.className = part;
    return text;
  });
  holder.append(name, low, bar, high);
  return (what, from, to) => {
    name.textContent = what;
    low.textContent = from;
    high.textContent = to;
  };
}
