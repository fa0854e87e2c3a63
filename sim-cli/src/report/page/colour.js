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

/** What colours can show beside pressure. */
const CONCENTRATION = ["concentration", "concentration"];
const CONTENT = ["holds", "what lines hold"];

/** Liquid across a line, liquid on its wall, and air, where colours show what lines hold. */
const HOLDS = [["liquid", "#0072b2"], ["film on the wall", "#56b4e9"], ["air", ""]];
const [[, LIQUID], [, FILM]] = HOLDS;

/** What the colours mean just now: the ends of their scale, or what each stands for. */
function legend(holder, stops) {
  const part = (name, text, parent) => {
    const made = document.createElement("span");
    made.className = name;
    made.textContent = text;
    parent.append(made);
    return made;
  };
  return {
    scale: (from, to) => {
      holder.replaceChildren();
      part("low", from, holder);
      part("bar", "", holder).style.background = `linear-gradient(to right, ${stops.join(", ")})`;
      part("high", to, holder);
    },
    holds: () => {
      holder.replaceChildren();
      for (const [name, colour] of HOLDS) {
        part(colour ? "swatch" : "swatch hollow", "", holder).style.background = colour;
        part("kind", name, holder);
      }
    },
  };
}
