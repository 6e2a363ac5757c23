// Metres to the crew's words: the same rounding and the same spelling as the program's own.

const INCH_M = 0.0254;

/** Nearest whole number; half-way goes to the even one, half-way within a ten-millionth. */
function nearestEven(x) {
  const floor = Math.floor(x), part = x - floor;
  const up = Math.abs(part - 0.5) < 1e-7 ? floor % 2 !== 0 : part > 0.5;
  return floor + (up ? 1 : 0);
}

/** A plain number with fixed decimals; never -0. */
function numberText(value, decimals) {
  if (!Number.isFinite(value)) return "?";
  const steps = nearestEven(value * 10 ** decimals);
  if (steps === 0) return (0).toFixed(decimals);
  const digits = String(Math.abs(steps)).padStart(decimals + 1, "0");
  const whole = digits.slice(0, digits.length - decimals), tail = digits.slice(digits.length - decimals);
  return (steps < 0 ? "-" : "") + whole + (decimals ? "." + tail : "");
}

/** Sign, whole inches, and the fraction in lowest terms. */
function splitInches(m, denominator) {
  const steps = nearestEven(m / INCH_M * denominator);
  const size = Math.abs(steps);
  let top = size % denominator, bottom = denominator;
  while (top && top % 2 === 0) { top /= 2; bottom /= 2; }
  return { sign: steps < 0 ? "-" : "", inches: Math.floor(size / denominator), top, bottom };
}

function mixed(inches, top, bottom) {
  if (!top) return String(inches);
  return (inches ? inches + " " : "") + top + "/" + bottom;
}

/** A height, depth or gap: sixteenths of an inch, or whole millimetres. */
function depthText(m, habit) {
  if (!Number.isFinite(m)) return "? " + (habit === "us" ? "in" : "mm");
  if (habit !== "us") return numberText(m * 1000, 0) + " mm";
  const s = splitInches(m, 16);
  return s.sign + mixed(s.inches, s.top, s.bottom) + " in";
}

/** A plan distance: feet and quarter inches, or metres to 10 mm. */
function lengthText(m, habit) {
  if (habit !== "us") return numberText(m, 2) + " m";
  const s = splitInches(m, 4);
  const feet = Math.floor(s.inches / 12);
  const small = mixed(s.inches % 12, s.top, s.bottom);
  if (!feet) return s.sign + small + " in";
  return s.sign + feet + " ft" + (small === "0" ? "" : " " + small + " in");
}

/** A gap: hundredths of an inch with the nearest sixteenth, or tenths of a millimetre. */
function gapText(m, habit) {
  if (habit !== "us") return numberText(m * 1000, 1) + " mm";
  const s = splitInches(m, 16), decimal = numberText(m / INCH_M, 2);
  if (decimal === numberText(0, 2)) return decimal + " in";
  const nearest = m > 0 && !s.inches && !s.top ? "under 1/16" : s.sign + mixed(s.inches, s.top, s.bottom);
  return decimal + " in (" + nearest + ")";
}
