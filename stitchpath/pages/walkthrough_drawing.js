// What the plan holds, and the drawing of it.
// Three layers over each other: the cloth with every path, what this path has sewn so far, and the step itself.
// Coordinates are whole hundredths of a millimetre; `upp` is how many of them there are to a pixel.
const plan = JSON.parse(document.getElementById("plan").textContent);
const at = (id) => document.getElementById(id);
const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
const stepCount = plan.words.length;
const still = matchMedia("(prefers-reduced-motion: reduce)");

if (!stepCount) {
  at("told").textContent = "The plan has no step.";
  for (const idle of document.querySelectorAll("button, input, select")) idle.disabled = true;
  document.documentElement.dataset.ready = "yes";
  return;
}

// ---------------------------------------------------------------- what the plan holds
const deltas = plan.paths, points = deltas.map((flat) => {
  const whole = new Int32Array(flat.length);
  whole[0] = flat[0]; whole[1] = flat[1];
  for (let i = 2; i < flat.length; i++) whole[i] = whole[i - 2] + flat[i];
  return whole;
});
const firstOf = new Int32Array(stepCount), pathOf = new Int32Array(stepCount), firstStep = [];
{
  let path = -1, here = 0;
  for (let i = 0; i < stepCount; i++) {
    if (i === plan.starts[path + 1]) { path += 1; here = 0; firstStep.push(i); }
    firstOf[i] = here; pathOf[i] = path; here = plan.last[i];
  }
}
const wordsOf = (step) => plan.words[step].map((clause) => plan.clauses[clause]).join(" ");
const briefly = (step) => plan.words[step].slice(0, 2).map((clause) => plan.clauses[clause]).join(" ").replace(/[,;.]$/, "");
const headingOf = (step) => plan.headings[plan.under[step]];
const lengthOf = (path, first, last) => {
  const xy = points[path];
  let sum = 0;
  for (let i = first; i < last; i++) sum += Math.hypot(xy[2 * i + 2] - xy[2 * i], xy[2 * i + 3] - xy[2 * i + 1]);
  return sum;
};
const endsPath = (step) => step === stepCount - 1 || pathOf[step + 1] !== pathOf[step];
const placeAt = (path, index) => [points[path][2 * index], points[path][2 * index + 1]];
const [unit, unitsPer] = plan.unit;
const LIFT_FASTER = 3; // so many times as fast as sewing
function liftedFrom(step) { // where the needle is up from, if the step brings it from another path of its band
  const path = pathOf[step];
  if (step !== firstStep[path] || !path || plan.bands[path] !== plan.bands[path - 1]) return null;
  return placeAt(path - 1, points[path - 1].length / 2 - 1);
}
function leadOf(step) { // how long the needle is on its way to the step, in hundredths of a mm at the speed of sewing
  const from = liftedFrom(step);
  if (!from) return 0;
  const to = placeAt(pathOf[step], 0);
  return Math.hypot(to[0] - from[0], to[1] - from[1]) / LIFT_FASTER;
}
const walkOf = (step) => leadOf(step) + lengthOf(pathOf[step], firstOf[step], plan.last[step]);
function* runsOf(path, first, last) { // runs of one move between two points: [travels, from, to]
  const runs = plan.runs[path];
  let from = 0;
  for (let r = 0; r < runs.length && from < last; r += 2) {
    const to = runs[r + 1];
    if (to > first) yield [runs[r] > 0, Math.max(from, first), Math.min(to, last)];
    from = to;
  }
}
const pieceData = (path, from, to) => {
  const [x, y] = placeAt(path, from);
  return `M${x} ${y}l${deltas[path].slice(2 * from + 2, 2 * to + 2).join(" ")}`;
};
function pathData(path, first, last) { // [sewn, travelled]
  const data = ["", ""];
  for (const [travels, from, to] of runsOf(path, first, last)) if (to > from) data[+travels] += pieceData(path, from, to);
  return data;
}
const LONGEST = 1000; // points of one element: a tile of the drawing then passes over what lies elsewhere
function drawPath(parent, path, first, last, attributesOf) { // sewing and travel apart
  const made = [];
  for (let from = first; from < last; from += LONGEST)
    pathData(path, from, Math.min(from + LONGEST, last)).forEach((d, travels) =>
      d && made.push(draw(parent, "path", { ...attributesOf(travels > 0), d })));
  return made;
}

// ---------------------------------------------------------------- the drawing
const SVG = "http://www.w3.org/2000/svg";
function draw(parent, tag, attributes, text) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (text) made.textContent = text;
  parent.append(made);
  return made;
}
const sheet = at("sheet"), film = document.createElement("div");
film.id = "film";
sheet.append(film);
const [X0, Y0, X1, Y1] = plan.box;
const layers = ["cloth", "done", "mark"].map((id) =>
  draw(film, "svg", { id, viewBox: `${X0} ${Y0} ${X1 - X0} ${Y1 - Y0}`, "aria-hidden": "true" }));
const [cloth, done, mark] = layers;
const loops = (rings) => rings.map((ring) => `M${ring[0]} ${ring[1]}l${ring.slice(2).join(" ")}`).join("");
if (plan.keepOuts.length) draw(cloth, "path", { class: "keep", d: loops(plan.keepOuts) });
const thin = draw(cloth, "g", {});
if (plan.seams.length) draw(thin, "path", { class: "seam", d: loops(plan.seams) });
if (plan.outline.length) draw(thin, "path", { class: "edge", d: loops(plan.outline) });
const sewing = draw(cloth, "g", {}), names = draw(cloth, "g", {});
const drawn = points.map((xy, path) =>
  drawPath(sewing, path, 0, xy.length / 2 - 1, (travels) => ({ class: travels ? "ahead travel" : "ahead" })));
let reached = 0; // paths sewn whole
function reach(path) {
  const state = path > reached ? "sewn" : "ahead";
  for (let p = Math.min(path, reached); p < Math.max(path, reached); p++)
    for (const { classList } of drawn[p]) { classList.toggle("sewn", state === "sewn"); classList.toggle("ahead", state === "ahead"); }
  reached = path;
}

// ---------------------------------------------------------------- where we look
const view = { upp: 1, x: 0, y: 0 }; // hundredths of a mm to a pixel; what lies in the sheet's corner
let laidUpp = 0, settling = 0;
const size = () => [sheet.clientWidth, sheet.clientHeight];
function place() {
  const scale = laidUpp / view.upp;
  film.style.transform = `translate(${(X0 - view.x) / view.upp}px, ${(Y0 - view.y) / view.upp}px) scale(${scale})`;
}
function lay() { // draw sharp at the present size
  settling = 0;
  if (laidUpp !== view.upp) {
    laidUpp = view.upp;
    for (const layer of layers) {
      layer.setAttribute("width", (X1 - X0) / laidUpp);
      layer.setAttribute("height", (Y1 - Y0) / laidUpp);
    }
    thin.setAttribute("stroke-width", laidUpp);
    sewing.setAttribute("stroke-width", laidUpp);
    film.style.setProperty("--upp", laidUpp);
    const dash = `${4 * laidUpp} ${3 * laidUpp}`;
    for (const travelled of sewing.querySelectorAll(".travel")) travelled.setAttribute("stroke-dasharray", dash);
    nameBlocks();
    drawDone();
  }
  place();
  drawMark();
}
function look(change, soon) {
  Object.assign(view, change);
  view.upp = clamp(view.upp, 2, 3 * Math.max(X1 - X0, Y1 - Y0) / 200);
  clearTimeout(settling);
  if (soon) { settling = setTimeout(lay, 150); place(); } else lay();
}
function fit([x0, y0, x1, y1], room) {
  const [width, height] = size();
  const upp = Math.max((x1 - x0) / Math.max(width - 2 * room, 50), (y1 - y0) / Math.max(height - 2 * room, 50), 2);
  look({ upp, x: (x0 + x1 - width * upp) / 2, y: (y0 + y1 - height * upp) / 2 });
}
function zoom(factor, px, py, soon) {
  const [width, height] = size(), x = px ?? width / 2, y = py ?? height / 2;
  const upp = clamp(view.upp / factor, 2, 3 * Math.max(X1 - X0, Y1 - Y0) / 200);
  look({ upp, x: view.x + x * (view.upp - upp), y: view.y + y * (view.upp - upp) }, soon);
}
const pan = (dx, dy) => { view.x -= dx * view.upp; view.y -= dy * view.upp; place(); };
function boxOf(step) {
  const [u, v] = liftedFrom(step) ?? placeAt(pathOf[step], firstOf[step]), box = [u, v, u, v];
  for (let i = firstOf[step]; i <= plan.last[step]; i++) {
    const [x, y] = placeAt(pathOf[step], i);
    box[0] = Math.min(box[0], x); box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x); box[3] = Math.max(box[3], y);
  }
  return box;
}
const fitWhole = () => fit(plan.box, 12);
function fitStep() {
  const [x0, y0, x1, y1] = boxOf(now), least = 2500;
  const wide = Math.max(least - (x1 - x0), 0) / 2, high = Math.max(least - (y1 - y0), 0) / 2;
  fit([x0 - wide, y0 - high, x1 + wide, y1 + high], 60);
}
function keepInSight([x0, y0, x1, y1]) { // where the box lies outside or does not fit, its middle goes to the middle
  const [width, height] = size(), edge = 24 * view.upp;
  const out = (low, high, from, span) => low < from + edge || high > from + span - edge;
  if (out(x0, x1, view.x, width * view.upp)) view.x = (x0 + x1 - width * view.upp) / 2;
  if (out(y0, y1, view.y, height * view.upp)) view.y = (y0 + y1 - height * view.upp) / 2;
}
function nameBlocks() { // as many as there is room for
  names.replaceChildren();
  const letters = 12 * laidUpp, x = X0 + plan.room - letters / 2, y = Y0 + plan.room - letters / 2;
  const along = (list, room, put) => {
    let free = -Infinity;
    for (const [number, low, high] of list) {
      const middle = (low + high) / 2;
      if (middle < free) continue;
      free = middle + room * letters;
      put(number, middle);
    }
  };
  along(plan.columns, 5.5, (number, middle) =>
    draw(names, "text", { x: middle, y, "font-size": letters, "text-anchor": "middle" }, `column ${number}`));
  along(plan.rows, 1.5, (number, middle) =>
    draw(names, "text", { x, y: middle + letters / 3, "font-size": letters, "text-anchor": "end" }, `row ${number}`));
  named = [...names.children].map((name) => name.getBBox()).map(({ x, y, width, height }) => [x, y, x + width, y + height]);
}

// ---------------------------------------------------------------- the step drawn
let now = 0, doneTo = [-1, 0], along = 0, lengths = [], needle = null;
function drawDone() {
  done.replaceChildren();
  doneTo = [pathOf[now], 0];
  addDone(now);
}
function addDone(step) { // what the step's own path has sewn before it
  if (doneTo[0] !== pathOf[step] || doneTo[1] > firstOf[step]) { done.replaceChildren(); doneTo = [pathOf[step], 0]; }
  drawPath(done, pathOf[step], doneTo[1], firstOf[step], (travels) =>
    (travels ? { "stroke-dasharray": `${4 * laidUpp} ${3 * laidUpp}` } : {}));
  doneTo[1] = firstOf[step];
}
function heads(path, from, to, px) { // arrow heads along a run
  const apart = 90 * laidUpp, long = px * laidUpp, half = 0.42 * long, whole = lengthOf(path, from, to);
  if (whole < 1.2 * long) return "";
  const gap = Math.max(whole / clamp(Math.round(whole / apart), 1, 300), 1);
  let data = "", gone = 0, want = gap / 2;
  for (let i = from; i < to && want < whole; i++) {
    const [x, y] = placeAt(path, i), [u, v] = placeAt(path, i + 1), step = Math.hypot(u - x, v - y);
    for (; step && gone + step >= want && want < whole; want += gap) {
      const ax = (u - x) / step, ay = (v - y) / step, mx = x + ax * (want - gone), my = y + ay * (want - gone);
      const bx = mx - ax * long / 2, by = my - ay * long / 2;
      data += `M${mx + ax * long / 2} ${my + ay * long / 2}L${bx - ay * half} ${by + ax * half}L${bx + ay * half} ${by - ax * half}Z`;
    }
    gone += step;
  }
  return data;
}
let named = []; // the boxes of the names of rows and columns
const shared = (a, b) => // how much of two boxes overlaps
  Math.max(Math.min(a[2], b[2]) - Math.max(a[0], b[0]), 0) * Math.max(Math.min(a[3], b[3]) - Math.max(a[1], b[1]), 0);
function spots(x, y, said, others) { // where a label may lie, and how much it covers there of others and of what is out of sight
  const u = laidUpp, wide = (9 * said.length + 4) * u, high = 20 * u, [width, height] = size();
  const sight = [view.x, view.y, view.x + width * view.upp, view.y + height * view.upp];
  return [[1, -25], [1, 5], [-1, -25], [-1, 5], [1, -10], [-1, -10]].map(([side, down]) => {
    const left = side > 0 ? x + 12 * u : x - 12 * u - wide, top = y + down * u, box = [left, top, left + wide, top + high];
    return { side, box, covers: others.reduce((sum, other) => sum + shared(box, other), wide * high - shared(box, sight)) };
  });
}
function labels(...wanted) { // [x, y, text] each, together where they cover least
  const u = laidUpp, said = wanted.map(([, , text]) => (text.length > 46 ? `${text.slice(0, 45)}…` : text));
  const marks = wanted.map(([x, y]) => [x - 9 * u, y - 9 * u, x + 9 * u, y + 9 * u]);
  const [firsts, seconds] = wanted.map(([x, y], at) => spots(x, y, said[at], [...named, marks[1 - at]]));
  let best = null, least = Infinity;
  for (const one of firsts) for (const other of seconds) {
    const covers = one.covers + other.covers + 2 * shared(one.box, other.box);
    if (covers < least - u * u) { least = covers; best = [one, other]; }
  }
  best.forEach(({ side, box }, at) => draw(mark, "text", {
    x: side > 0 ? box[0] : box[2], y: box[1] + 15 * u, "font-size": 15 * u, "stroke-width": 4 * u,
    "text-anchor": side > 0 ? "start" : "end",
  }, said[at]));
}
function drawMark() {
  if (!laidUpp) return;
  mark.replaceChildren();
  const path = pathOf[now], u = laidUpp, first = firstOf[now], last = plan.last[now];
  const [sewn, travelled] = pathData(path, first, last);
  if (travelled) {
    draw(mark, "path", { class: "clear", d: travelled, "stroke-width": 7 * u });
    draw(mark, "path", { class: "over", d: travelled, "stroke-width": 3.4 * u, "stroke-dasharray": `${7 * u} ${5 * u}` });
  }
  if (sewn) {
    draw(mark, "path", { class: "clear", d: sewn, "stroke-width": 6.5 * u });
    draw(mark, "path", { class: "sew", d: sewn, "stroke-width": 3.4 * u });
  }
  for (const [travels, from, to] of runsOf(path, first, last)) {
    const d = heads(path, from, to, 15);
    if (d) draw(mark, "path", { class: travels ? "hollow" : "solid", d, "stroke-width": travels ? 1.8 * u : 0 });
  }
  const from = placeAt(path, first), [sx, sy] = liftedFrom(now) ?? from, [nx, ny] = placeAt(path, last);
  if (liftedFrom(now))
    draw(mark, "path", { class: "lift", d: `M${sx} ${sy}L${from[0]} ${from[1]}`, "stroke-width": 2.2 * u, "stroke-dasharray": `0 ${6 * u}` });
  if (endsPath(now))
    draw(mark, "path", { class: "tie", d: `M${nx - 10 * u} ${ny - 10 * u}l${20 * u} ${20 * u}m0 ${-20 * u}l${-20 * u} ${20 * u}`, "stroke-width": 2 * u });
  const said = now < stepCount - 1 ? `next: ${briefly(now + 1)}` : "end: all is sewn";
  draw(mark, "path", { class: "next", d: `M${nx} ${ny - 9 * u}l${9 * u} ${9 * u}l${-9 * u} ${9 * u}l${-9 * u} ${-9 * u}Z`, "stroke-width": 2 * u });
  needle = draw(mark, "circle", { class: "needle", r: 6 * u, "stroke-width": 2 * u });
  labels([sx, sy, "here"], [nx, ny, said]);
  moveNeedle();
}
function moveNeedle() {
  if (!needle) return;
  const [x, y] = needleAt();
  needle.setAttribute("transform", `translate(${x} ${y})`);
}
function needleAt() {
  const path = pathOf[now], first = firstOf[now], lead = leadOf(now), sewn = along - lead;
  const between = ([x, y], [u, v], part) => [x + part * (u - x), y + part * (v - y)];
  if (sewn < 0) return between(liftedFrom(now), placeAt(path, first), along / lead);
  if (sewn >= lengths[lengths.length - 1]) return placeAt(path, plan.last[now]);
  let low = 0, high = lengths.length - 1;
  while (high - low > 1) { const middle = (low + high) >> 1; if (lengths[middle] <= sewn) low = middle; else high = middle; }
  const part = lengths[high] > lengths[low] ? (sewn - lengths[low]) / (lengths[high] - lengths[low]) : 0;
  return between(placeAt(path, first + low), placeAt(path, first + high), part);
}
