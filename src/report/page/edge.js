// The floor and a straight edge laid on it. Pure functions of the embedded triangles: no page, no state.
// Metres throughout; heights up positive. The same definitions as the program's own (docs/methods.md).

/** How near counts as touching, metres: a triangle is widened by this so that neighbours leave no slit. */
const TOUCH_M = 1e-9;

/** The floor from its embedded data: flat arrays of corners, three corners a triangle. */
function makeFloor(data) {
  const v = Float64Array.from(data.corners);
  const t = Uint32Array.from(data.triangles);
  const count = t.length / 3;
  const box = new Float64Array(count * 4);
  const slope = new Float64Array(count * 2);
  for (let i = 0; i < count; i++) {
    const a = t[3 * i] * 3, b = t[3 * i + 1] * 3, c = t[3 * i + 2] * 3;
    box[4 * i] = Math.min(v[a], v[b], v[c]);
    box[4 * i + 1] = Math.min(v[a + 1], v[b + 1], v[c + 1]);
    box[4 * i + 2] = Math.max(v[a], v[b], v[c]);
    box[4 * i + 3] = Math.max(v[a + 1], v[b + 1], v[c + 1]);
    const ux = v[b] - v[a], uy = v[b + 1] - v[a + 1], du = v[b + 2] - v[a + 2];
    const wx = v[c] - v[a], wy = v[c + 1] - v[a + 1], dw = v[c + 2] - v[a + 2];
    const det = ux * wy - uy * wx;
    slope[2 * i] = (du * wy - dw * uy) / det;
    slope[2 * i + 1] = (dw * ux - du * wx) / det;
  }
  return { v, t, count, box, slope, carried: data.carried || "" };
}

/** The part of segment a-b inside triangle i, as two shares of its length, or null. */
function insideTriangle(floor, i, ax, ay, bx, by) {
  const { v, t } = floor;
  let from = 0, to = 1;
  for (let k = 0; k < 3; k++) {
    const p = t[3 * i + k] * 3, q = t[3 * i + (k + 1) % 3] * 3;
    const ex = v[q] - v[p], ey = v[q + 1] - v[p + 1];
    const long = Math.hypot(ex, ey);
    // Distances of the two ends to the left of this side, widened outward.
    const fa = (ex * (ay - v[p + 1]) - ey * (ax - v[p])) / long + TOUCH_M;
    const fb = (ex * (by - v[p + 1]) - ey * (bx - v[p])) / long + TOUCH_M;
    if (fa < 0 && fb < 0) return null;
    if (fa < 0) from = Math.max(from, fa / (fa - fb));
    else if (fb < 0) to = Math.min(to, fa / (fa - fb));
    if (from > to) return null;
  }
  return [from, to];
}

/**
 * The floor's heights along a-b: [{s, z, carried}], s metres from a; two entries at one s where a joint steps.
 * Null when any part of the segment has no floor under it.
 */
function profileOn(floor, ax, ay, bx, by) {
  const long = Math.hypot(bx - ax, by - ay);
  if (!(long > 0) || !Number.isFinite(long)) return null;
  const { v, t, box, slope } = floor;
  const x0 = Math.min(ax, bx) - TOUCH_M, x1 = Math.max(ax, bx) + TOUCH_M;
  const y0 = Math.min(ay, by) - TOUCH_M, y1 = Math.max(ay, by) + TOUCH_M;
  const pieces = [];
  for (let i = 0; i < floor.count; i++) {
    if (box[4 * i] > x1 || box[4 * i + 2] < x0 || box[4 * i + 1] > y1 || box[4 * i + 3] < y0) continue;
    const part = insideTriangle(floor, i, ax, ay, bx, by);
    if (part) pieces.push([part[0], part[1], i]);
  }
  pieces.sort((p, q) => p[0] - q[0] || p[1] - q[1] || p[2] - q[2]);
  const slit = 4 * TOUCH_M / long;
  let reach = 0;
  const points = [];
  for (const [from, to, i] of pieces) {
    if (from > reach + slit) return null;
    reach = Math.max(reach, to);
    const p = t[3 * i] * 3;
    for (const share of [from, to]) {
      const dx = ax + (bx - ax) * share - v[p], dy = ay + (by - ay) * share - v[p + 1];
      points.push({
        s: share * long,
        z: v[p + 2] + slope[2 * i] * dx + slope[2 * i + 1] * dy,
        carried: floor.carried.charAt(i) === "1",
      });
    }
  }
  if (reach < 1 - slit) return null;
  // Stable by s alone: at a joint the pieces' own order keeps the step.
  points.sort((p, q) => p.s - q.s);
  return points;
}

/** Corners of the hull over (side +1) or under (side -1) a profile, left to right. */
function hullOf(points, side) {
  const hull = [];
  for (const p of points) {
    while (hull.length > 1) {
      const a = hull[hull.length - 2], b = hull[hull.length - 1];
      if (side * ((b.s - a.s) * (p.z - a.z) - (b.z - a.z) * (p.s - a.s)) < 0) break;
      hull.pop();
    }
    if (hull.length === 1 && p.s === hull[0].s) {
      if (side * (p.z - hull[0].z) > 0) hull[0] = p;
      continue;
    }
    hull.push(p);
  }
  return hull;
}

/** Largest distance between a profile and a hull of it, with the two hull corners that span the place. */
function farthest(points, hull, side) {
  let most = { depth: 0, at: null, ends: null };
  let k = 0;
  for (const p of points) {
    while (k < hull.length - 2 && hull[k + 1].s <= p.s) k++;
    const a = hull[k], b = hull[Math.min(k + 1, hull.length - 1)];
    const line = b.s > a.s ? a.z + (b.z - a.z) * (p.s - a.s) / (b.s - a.s) : a.z;
    const depth = side * (line - p.z);
    if (depth > most.depth) most = { depth, at: p, ends: [a, b] };
  }
  if (!most.at) {
    // Nothing is off the hull: the edge rests where its middle is.
    const middle = (points[0].s + points[points.length - 1].s) / 2;
    let m = 0;
    while (m < hull.length - 2 && hull[m + 1].s <= middle) m++;
    const ends = [hull[m], hull[Math.min(m + 1, hull.length - 1)]];
    most = { depth: 0, at: ends[0], ends };
  }
  return most;
}

/** Everything an edge from a to b shows, or null when it leaves the floor. */
function layEdge(floor, ax, ay, bx, by) {
  const points = profileOn(floor, ax, ay, bx, by);
  if (!points) return null;
  const dip = farthest(points, hullOf(points, 1), 1);
  const hump = farthest(points, hullOf(points, -1), -1);
  return { points, dip, hump };
}

/** Height of the floor at a place and whether it was carried out from readings, or null off the floor. */
function heightAt(floor, x, y) {
  const { v, t, box, slope } = floor;
  for (let i = 0; i < floor.count; i++) {
    if (box[4 * i] > x + TOUCH_M || box[4 * i + 2] < x - TOUCH_M) continue;
    if (box[4 * i + 1] > y + TOUCH_M || box[4 * i + 3] < y - TOUCH_M) continue;
    if (!insideTriangle(floor, i, x, y, x, y)) continue;
    const p = t[3 * i] * 3;
    return {
      z: v[p + 2] + slope[2 * i] * (x - v[p]) + slope[2 * i + 1] * (y - v[p + 1]),
      carried: floor.carried.charAt(i) === "1",
    };
  }
  return null;
}
