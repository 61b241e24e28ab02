// The colour of each step, from the page's facts; grey where a step has none.

const INK = "#111";
const NO_STEP = "#555";

const shades = [...new Set(Object.values(facts.colours))];

function colourOf(step) {
  return facts.colours[step] ?? NO_STEP;
}

/** Red, green and blue of a colour, 0…1. */
function parts(colour) {
  return [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16) / 255);
}

/** The shades in use, six of them at most, as numbers. */
const palette = () => Array.from({ length: 6 }, (_, i) => parts(shades[i] ?? "#555555"));
