// Pointing at the map and laying an edge on it. Without this script the page still holds the whole answer.

const pageData = JSON.parse(document.getElementById("floor-data").textContent);
const pageFloor = makeFloor(pageData);

/**
 * What a straight edge from (ax, ay) to (bx, by) shows; plan metres in, metres out.
 * gap: the most the floor lies under the edge as it rests; at: where; contacts: the two places it rests on;
 * hump: the most the floor stands above a chord between two of its own points along the line.
 * Null when any part of the line has no floor under it.
 */
function gapOnEdge(ax, ay, bx, by) {
  const lay = layEdge(pageFloor, ax, ay, bx, by);
  if (!lay) return null;
  const long = Math.hypot(bx - ax, by - ay);
  const place = (p) => [ax + (bx - ax) * p.s / long, ay + (by - ay) * p.s / long];
  return {
    gap: lay.dip.depth,
    at: place(lay.dip.at),
    contacts: lay.dip.ends.map(place),
    hump: lay.hump.depth,
    humpAt: place(lay.hump.at),
    humpEnds: lay.hump.ends.map(place),
  };
}

(() => {
  const { habit, view, words, marks, plane, high, spans, limits, origin } = pageData;
  const byId = (id) => document.getElementById(id);
  const map = byId("map");
  const home = map.getAttribute("viewBox").split(" ").map(Number);
  const draw = document.createElementNS(map.namespaceURI, "g");
  draw.setAttribute("id", "lay");
  map.appendChild(draw);
  const depth = (m) => depthText(m, habit);
  const gapWords = (m) => gapText(m, habit);
  const plan = (m) => lengthText(m, habit);
  const perUnit = habit === "us" ? 0.3048 : 1;
  /** Below this, metres, a gap is rounding and not floor. */
  const NOTHING = 5e-6;
  const nudge = habit === "us" ? 0.0254 : 0.02;
  /** Fills the {1}, {2} of a sentence. */
  const say = (sentence, ...parts) => sentence.replace(/\{(\d)\}/g, (_, n) => parts[n - 1]);

  // --- state ---------------------------------------------------------------------------------
  let zoom = 1;
  let box = home.slice();
  let pin = null;
  let ends = startEdge();

  function startEdge() {
    if (pageData.lays.length) {
      const [ax, ay, bx, by] = pageData.lays[0];
      return [ax, ay, bx, by];
    }
    // Nothing to show yet: half the room's width through the high point, or what of it fits.
    const half = Math.max(nudge, (spans[0] || 1) / 2);
    return [high[0] - half, high[1], high[0] + half, high[1]];
  }
  const edgeLength = () => Math.hypot(ends[2] - ends[0], ends[3] - ends[1]);

  // --- plan and picture ----------------------------------------------------------------------
  const toMap = (x, y) => [(x - view.x0) * view.k, (view.y1 - y) * view.k];
  function toPlan(event) {
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(map.getScreenCTM().inverse());
    return [view.x0 + p.x / view.k, view.y1 - p.y / view.k];
  }
  /** Map units in a pixel of the screen. */
  const pixel = () => 1 / (map.getScreenCTM()?.a || 1);

  function add(parent, name, attributes, text) {
    const e = document.createElementNS(map.namespaceURI, name);
    for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
    if (text !== undefined) e.textContent = text;
    parent.appendChild(e);
    return e;
  }

  // --- the three handles, made once so that they keep the keyboard ------------------------------
  const under = add(draw, "g", {});
  const pinMark = add(draw, "g", { class: "pin" });
  const handles = ["B", "M", "A"].map((which) => {
    const g = add(draw, "g", {
      class: "handle", tabindex: "0", role: "button", "data-which": which,
      "aria-label": which === "M" ? words.handleMiddle : say(words.handleEnd, which),
    });
    add(g, "circle", { class: "reach" });
    add(g, which === "M" ? "rect" : "circle", { class: "grip" });
    if (which !== "M") add(g, "text", { class: "letter", "text-anchor": "middle" }, which);
    return g;
  });

  function showEdge() {
    const px = pixel();
    const [ax, ay, bx, by] = ends;
    const lay = layEdge(pageFloor, ax, ay, bx, by);
    const [x1, y1] = toMap(ax, ay), [x2, y2] = toMap(bx, by);
    under.replaceChildren();
    const line = { x1, y1, x2, y2, "stroke-linecap": "round" };
    add(under, "line", { ...line, class: "casing", "stroke-width": 7 * px });
    add(under, "line", {
      ...line, class: "edge", "stroke-width": 3 * px,
      ...(lay ? {} : { "stroke-dasharray": `${6 * px} ${7 * px}` }),
    });
    if (lay) {
      const long = edgeLength();
      const at = (p) => [x1 + (x2 - x1) * p.s / long, y1 + (y2 - y1) * p.s / long];
      for (const p of lay.dip.ends) {
        const [cx, cy] = at(p);
        add(under, "circle", { cx, cy, r: 5 * px, class: "contact", "stroke-width": 2 * px });
      }
      if (lay.dip.depth > NOTHING) {
        const [cx, cy] = at(lay.dip.at);
        const nx = -(y2 - y1), ny = x2 - x1, n = Math.hypot(nx, ny);
        const w = 9 * px;
        add(under, "line", {
          x1: cx - nx / n * w, y1: cy - ny / n * w, x2: cx + nx / n * w, y2: cy + ny / n * w,
          class: "edge", "stroke-width": 3 * px,
        });
      }
    }
    const spots = { A: [x1, y1], B: [x2, y2], M: [(x1 + x2) / 2, (y1 + y2) / 2] };
    const [ux, uy] = [(x2 - x1), (y2 - y1)], ul = Math.hypot(ux, uy) || 1;
    for (const g of handles) {
      const which = g.dataset.which;
      // The grips stand off the ends, so that a finger does not hide what it points at.
      const off = which === "A" ? -16 : which === "B" ? 16 : 0;
      const cx = spots[which][0] + ux / ul * off * px, cy = spots[which][1] + uy / ul * off * px;
      const [reach, grip] = g.children;
      reach.setAttribute("cx", cx); reach.setAttribute("cy", cy); reach.setAttribute("r", 22 * px);
      if (which === "M") {
        const s = 7 * px;
        grip.setAttribute("x", cx - s); grip.setAttribute("y", cy - s);
        grip.setAttribute("width", 2 * s); grip.setAttribute("height", 2 * s);
        grip.setAttribute("transform", `rotate(45 ${cx} ${cy})`);
      } else {
        grip.setAttribute("cx", cx); grip.setAttribute("cy", cy); grip.setAttribute("r", 10 * px);
        const letter = g.children[2];
        letter.setAttribute("x", cx); letter.setAttribute("y", cy + 4.5 * px);
        letter.setAttribute("font-size", 13 * px);
      }
      grip.setAttribute("stroke-width", 2 * px);
    }
    tellEdge(lay);
  }

  // --- what the edge says -----------------------------------------------------------------------
  function put(list, rows) {
    list.replaceChildren(...rows.filter(Boolean).flatMap(([name, value, big]) => {
      const dt = document.createElement("dt"), dd = document.createElement("dd");
      dt.textContent = name;
      dd.textContent = value;
      if (big) dd.className = "big";
      return [dt, dd];
    }));
  }

  function tellEdge(lay) {
    const long = edgeLength();
    if (document.activeElement !== byId("span")) byId("span").value = String(Number(numberText(long / perUnit, 2)));
    for (const b of document.querySelectorAll("[data-span]")) {
      b.setAttribute("aria-pressed", String(Math.abs(b.dataset.span - long) < 5e-4));
    }
    const picture = byId("profile");
    if (!lay) {
      put(byId("edge-says"), [[words.edge, words.offFloor]]);
      picture.replaceChildren();
      picture.setAttribute("aria-label", words.offFloor);
      return;
    }
    const { points, dip, hump } = lay;
    const fall = points[0].z - points[points.length - 1].z;
    const chosen = limits.filter((l) => Math.abs(l[1] - long) < 5e-4);
    put(byId("edge-says"), [
      [words.gap, gapWords(dip.depth), true],
      dip.depth > NOTHING && [words.gapAt, say(words.fromA, plan(dip.at.s))],
      [words.contacts, say(words.contactsAt, plan(dip.ends[0].s), plan(dip.ends[1].s),
        plan(dip.ends[1].s - dip.ends[0].s))],
      [words.hump, hump.depth > NOTHING
        ? say(words.humpAt, gapWords(hump.depth), plan(hump.at.s)) : gapWords(0)],
      [words.fall, Math.abs(fall) < 5e-4 ? words.noFall
        : say(fall > 0 ? words.fallsToB : words.fallsToA, depth(Math.abs(fall)))],
      ...chosen.map(([title, , allowed, limit]) => [words.limit,
        title + ": " + say(dip.depth > allowed ? words.moreThan : words.notMoreThan, limit)]),
      points.some((p) => p.carried) && [words.note, words.carriedEdge],
    ]);
    showProfile(picture, points, dip, long);
  }

  function showProfile(picture, points, dip, long) {
    picture.replaceChildren();
    const W = 600, left = 26, right = 26, top = 46, deepest = 118, H = 206;
    const [c, d] = dip.ends;
    const slope = d.s > c.s ? (d.z - c.z) / (d.s - c.s) : 0;
    const edgeZ = (s) => c.z + slope * (s - c.s);
    const most = Math.max(0.004, ...points.map((p) => edgeZ(p.s) - p.z));
    const sx = (W - left - right) / long, sz = deepest / most;
    const X = (s) => left + s * sx, Y = (p) => top + (edgeZ(p.s) - p.z) * sz;
    const floorLine = points.map((p) => `${X(p.s).toFixed(2)},${Y(p).toFixed(2)}`).join(" ");
    add(picture, "polygon", {
      points: `${X(0)},${H - 22} ${floorLine} ${X(long)},${H - 22}`, class: "ground",
    });
    add(picture, "polyline", { points: floorLine, class: "floorline" });
    add(picture, "rect", { x: X(0), y: top - 12, width: long * sx, height: 12, class: "bar" });
    for (const p of dip.ends) {
      add(picture, "path", { d: `M${X(p.s)} ${top} l-7 12 h14 z`, class: "rest" });
    }
    if (dip.depth > NOTHING) {
      const x = X(dip.at.s), y = Y(dip.at);
      add(picture, "line", { x1: x, y1: top, x2: x, y2: y, class: "measure" });
      add(picture, "text", {
        x: Math.min(W - 60, Math.max(60, x)), y: 24, "text-anchor": "middle", class: "measured",
      }, gapWords(dip.depth));
    }
    add(picture, "text", { x: X(0) - 18, y: top, class: "letter" }, "A");
    add(picture, "text", { x: X(long) + 6, y: top, class: "letter" }, "B");
    add(picture, "text", { x: X(0), y: H - 5, class: "small" }, plan(long));
    add(picture, "text", { x: X(long), y: H - 5, class: "small", "text-anchor": "end" },
      say(words.drawnTimes, numberText(sz / sx, 0)));
    picture.setAttribute("aria-label",
      say(words.profileLabel, plan(long), gapWords(dip.depth), plan(dip.at.s)));
  }

  // --- what a place says ------------------------------------------------------------------------
  function showPin(spot) {
    pinMark.replaceChildren();
    if (!spot) return;
    const px = pixel(), [x, y] = toMap(spot[0], spot[1]), r = 8 * px;
    for (const kind of ["casing", "cross"]) {
      add(pinMark, "path", {
        d: `M${x - r} ${y}H${x + r}M${x} ${y - r}V${y + r}`, class: kind,
        "stroke-width": (kind === "casing" ? 5 : 2) * px,
      });
    }
  }

  function tellPlace(spot) {
    const list = byId("place-says");
    if (!spot) { put(list, [[words.place, words.pointSomewhere]]); return; }
    const [x, y] = spot;
    const here = heightAt(pageFloor, x, y);
    const where = [words.place, say(words.rightAndUp, plan(x - origin[0]), plan(y - origin[1]))];
    if (!here) { put(list, [[words.depth, words.noFloor], where]); return; }
    let near = null, far = Infinity;
    for (const m of marks) {
      const away = Math.hypot(m[1] - x, m[2] - y);
      if (away < far) { far = away; near = m; }
    }
    const toFinish = plane && plane[0] + plane[1] * x + plane[2] * y - here.z;
    put(list, [
      plane && (toFinish >= -5e-5
        ? [words.depth, depth(toFinish), true]
        : [words.above, say(words.aboveBy, depth(-toFinish)), true]),
      [words.below, depth(high[2] - here.z), !plane],
      where,
      near && [words.nearest, say(words.nearestSays, near[0], plan(far), near[4], depth(high[2] - near[3]))],
      here.carried && [words.note, words.carriedPlace],
    ]);
  }

  function setPin(spot) { pin = spot; showPin(spot); tellPlace(spot); }

  // --- moving -----------------------------------------------------------------------------------
  function moveHandle(which, x, y) {
    const [ax, ay, bx, by] = ends;
    if (which === "M") {
      const dx = x - (ax + bx) / 2, dy = y - (ay + by) / 2;
      ends = [ax + dx, ay + dy, bx + dx, by + dy];
    } else {
      const [fx, fy] = which === "A" ? [bx, by] : [ax, ay];
      let dx = x - fx, dy = y - fy;
      const want = Math.hypot(dx, dy);
      if (want < nudge / 4) return;
      if (byId("keep").checked) {
        const long = edgeLength();
        dx *= long / want; dy *= long / want;
      }
      ends = which === "A" ? [fx + dx, fy + dy, fx, fy] : [fx, fy, fx + dx, fy + dy];
    }
    showEdge();
  }

  function setLength(m) {
    if (!(m > 0) || !Number.isFinite(m)) return;
    const [ax, ay, bx, by] = ends;
    const k = m / edgeLength() / 2, cx = (ax + bx) / 2, cy = (ay + by) / 2;
    ends = [cx - (bx - ax) * k, cy - (by - ay) * k, cx + (bx - ax) * k, cy + (by - ay) * k];
    showEdge();
  }

  function turned(degrees) {
    const [ax, ay, bx, by] = ends;
    const cx = (ax + bx) / 2, cy = (ay + by) / 2, hx = (bx - ax) / 2, hy = (by - ay) / 2;
    const a = degrees * Math.PI / 180, c = Math.cos(a), s = Math.sin(a);
    return [cx - hx * c + hy * s, cy - hx * s - hy * c, cx + hx * c - hy * s, cy + hx * s + hy * c];
  }

  function worstTurn() {
    let most = -1, best = null, fits = 0;
    for (let degrees = 0; degrees < 180; degrees++) {
      const there = turned(degrees);
      const lay = layEdge(pageFloor, ...there);
      if (!lay) continue;
      fits++;
      if (lay.dip.depth > most) { most = lay.dip.depth; best = there; }
    }
    if (best) { ends = best; showEdge(); }
    byId("turn-says").textContent = best
      ? say(words.turned, fits, gapWords(most)) : words.turnedNone;
  }

  let drag = null;
  for (const g of handles) {
    // A drag on a grip moves the edge; everywhere else the page scrolls as usual.
    g.addEventListener("touchstart", (e) => e.preventDefault(), { passive: false });
    g.addEventListener("pointerdown", (e) => {
      e.preventDefault();
      e.stopPropagation();
      g.focus({ preventScroll: true });
      g.setPointerCapture(e.pointerId);
      const [x, y] = toPlan(e);
      const which = g.dataset.which, [ax, ay, bx, by] = ends;
      const [hx, hy] = which === "A" ? [ax, ay] : which === "B" ? [bx, by] : [(ax + bx) / 2, (ay + by) / 2];
      drag = { which, dx: hx - x, dy: hy - y };
    });
    g.addEventListener("pointermove", (e) => {
      if (!drag) return;
      const [x, y] = toPlan(e);
      moveHandle(drag.which, x + drag.dx, y + drag.dy);
    });
    for (const end of ["pointerup", "pointercancel"]) g.addEventListener(end, () => { drag = null; });
    g.addEventListener("keydown", (e) => {
      const step = nudge * (e.shiftKey ? 10 : 1);
      const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
      if (!by) return;
      e.preventDefault();
      e.stopPropagation();
      const which = g.dataset.which, [ax, ay, bx, by2] = ends;
      const [hx, hy] = which === "A" ? [ax, ay] : which === "B" ? [bx, by2] : [(ax + bx) / 2, (ay + by2) / 2];
      moveHandle(which, hx + by[0] * step, hy + by[1] * step);
    });
  }

  let press = null;
  map.addEventListener("pointerdown", (e) => { press = { x: e.clientX, y: e.clientY, box: box.slice() }; });
  map.addEventListener("pointermove", (e) => {
    if (drag) return;
    if (press && zoom > 1 && e.buttons) {
      const px = pixel();
      box[0] = press.box[0] - (e.clientX - press.x) * px;
      box[1] = press.box[1] - (e.clientY - press.y) * px;
      setBox();
    } else if (!press && e.pointerType === "mouse") {
      tellPlace(toPlan(e));
    }
  });
  map.addEventListener("pointerleave", () => { if (!drag) tellPlace(pin); });
  map.addEventListener("pointercancel", () => { press = null; });
  map.addEventListener("pointerup", (e) => {
    if (press && !drag && Math.hypot(e.clientX - press.x, e.clientY - press.y) < 8) setPin(toPlan(e));
    press = null;
  });
  map.addEventListener("keydown", (e) => {
    const step = pageData.spacing / (e.shiftKey ? 1 : 8);
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (!by) return;
    e.preventDefault();
    const [x, y] = pin || high;
    setPin([x + by[0] * step, y + by[1] * step]);
  });

  function setBox() {
    const w = home[2] / zoom, h = home[3] / zoom;
    box[0] = Math.min(Math.max(box[0], home[0]), home[0] + home[2] - w);
    box[1] = Math.min(Math.max(box[1], home[1]), home[1] + home[3] - h);
    box[2] = w; box[3] = h;
    map.setAttribute("viewBox", box.join(" "));
    map.classList.toggle("near", zoom > 1);
  }
  function setZoom(z) {
    const cx = box[0] + box[2] / 2, cy = box[1] + box[3] / 2;
    const [fx, fy] = pin && zoom === 1 ? toMap(pin[0], pin[1]) : [cx, cy];
    zoom = Math.min(8, Math.max(1, z));
    box = [fx - home[2] / zoom / 2, fy - home[3] / zoom / 2, 0, 0];
    setBox(); showEdge(); showPin(pin);
  }

  // --- buttons ----------------------------------------------------------------------------------
  byId("span").addEventListener("input", (e) => setLength(Number(e.target.value) * perUnit));
  byId("span").addEventListener("blur", () => showEdge());
  byId("zoom-in").addEventListener("click", () => setZoom(zoom * 1.6));
  byId("zoom-out").addEventListener("click", () => setZoom(zoom / 1.6));
  byId("zoom-all").addEventListener("click", () => setZoom(1));
  byId("turn-left").addEventListener("click", () => { ends = turned(5); showEdge(); });
  byId("turn-right").addEventListener("click", () => { ends = turned(-5); showEdge(); });
  byId("turn-worst").addEventListener("click", worstTurn);
  byId("to-pin").addEventListener("click", () => {
    const [x, y] = pin || high;
    moveHandle("M", x, y);
  });
  for (const b of document.querySelectorAll("[data-span]")) {
    b.addEventListener("click", () => setLength(Number(b.dataset.span)));
  }
  for (const b of document.querySelectorAll("[data-lay]")) {
    b.hidden = false;
    b.addEventListener("click", () => {
      ends = pageData.lays[Number(b.dataset.lay)].slice(0, 4);
      setZoom(1);
      byId("tool").scrollIntoView({ block: "start" });
    });
  }
  byId("print").addEventListener("click", () => window.print());
  window.addEventListener("resize", () => { showEdge(); showPin(pin); });

  document.documentElement.classList.add("live");
  setPin(null);
  showEdge();
})();
