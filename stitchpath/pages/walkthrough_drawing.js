// What the plan holds, and the drawing of it.
// Three layers over each other: the cloth with every path, what this path has sewn so far, and the step itself.
// A stand is where one can stand in the walk: at a step, or at a pause between two, which has no number and no length.
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
const stands = [], standOf = []; // each a step, counted from 0, or a pause; where each step stands
{
  let pause = 0;
  for (let step = 0; step < stepCount; step++) {
    for (; pause < plan.pauses.length && plan.pauses[pause].before === step; pause++) stands.push(plan.pauses[pause]);
    standOf.push(stands.length);
    stands.push(step);
  }
}
const standCount = stands.length;
const pauseAt = (stand) => (typeof stands[stand] === "number" ? null : stands[stand]);
const stepAt = (stand) => pauseAt(stand)?.before ?? stands[stand]; // of a pause the step that comes next
const beginOf = (step) => (step ? standOf[step - 1] + 1 : 0); // the step's stand, or that of the first pause before it
const firstOf = new Int32Array(standCount), lastOf = new Int32Array(standCount), pathOf = new Int32Array(standCount), firstStand = [];
{
  let path = -1, here = 0;
  for (let stand = 0; stand < standCount; stand++) {
    if (stepAt(stand) === plan.starts[path + 1]) { path += 1; here = 0; firstStand.push(stand); }
    firstOf[stand] = here; pathOf[stand] = path;
    if (!pauseAt(stand)) here = plan.last[stands[stand]];
    lastOf[stand] = here;
  }
}
const said = (step) => plan.words[step].map((clause) => plan.clauses[clause]).join(" ");
const wordsOf = (stand) => pauseAt(stand)?.words ?? said(stands[stand]);
const headingOf = (stand) => (pauseAt(stand) ? "At the machine" : plan.headings[plan.under[stands[stand]]]);
const lengthOf = (path, first, last) => {
  const xy = points[path];
  let sum = 0;
  for (let i = first; i < last; i++) sum += Math.hypot(xy[2 * i + 2] - xy[2 * i], xy[2 * i + 3] - xy[2 * i + 1]);
  return sum;
};
const endsPath = (stand) => stand === standCount - 1 || pathOf[stand + 1] !== pathOf[stand];
const placeAt = (path, index) => [points[path][2 * index], points[path][2 * index + 1]];
const [unit, unitsPer] = plan.unit;
const LIFT_FASTER = 3; // so many times as fast as sewing
function liftedFrom(stand) { // where the needle is up from, if the step brings it from another path of its band
  const path = pathOf[stand];
  if (!path || stand !== standOf[plan.starts[path]] || plan.bands[path] !== plan.bands[path - 1]) return null;
  return placeAt(path - 1, points[path - 1].length / 2 - 1);
}
function leadOf(stand) { // how long the needle is on its way to the step, in hundredths of a mm at the speed of sewing
  const from = liftedFrom(stand);
  if (!from) return 0;
  const to = placeAt(pathOf[stand], 0);
  return Math.hypot(to[0] - from[0], to[1] - from[1]) / LIFT_FASTER;
}
const walkOf = (stand) => leadOf(stand) + lengthOf(pathOf[stand], firstOf[stand], lastOf[stand]);
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
let laidUpp = 0, settling = 0, allSeen = false; // allSeen: the whole top is in sight, and stays so where the screen changes
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
  allSeen = false;
  view.upp = clamp(view.upp, 2, 3 * Math.max(X1 - X0, Y1 - Y0) / 200);
  clearTimeout(settling);
  if (soon) { settling = setTimeout(lay, 150); place(); } else lay();
}
function fit([x0, y0, x1, y1], room, left = 0, above = 0) { // left and above are kept free as well
  const [width, height] = size().map((span, axis) => span - [left, above][axis]);
  const upp = Math.max((x1 - x0) / Math.max(width - 2 * room, 50), (y1 - y0) / Math.max(height - 2 * room, 50), 2);
  look({ upp, x: (x0 + x1 - width * upp) / 2 - left * upp, y: (y0 + y1 - height * upp) / 2 - above * upp });
}
function zoom(factor, px, py, soon) {
  const [width, height] = size(), x = px ?? width / 2, y = py ?? height / 2;
  const upp = clamp(view.upp / factor, 2, 3 * Math.max(X1 - X0, Y1 - Y0) / 200);
  look({ upp, x: view.x + x * (view.upp - upp), y: view.y + y * (view.upp - upp) }, soon);
}
const pan = (dx, dy) => { allSeen = false; view.x -= dx * view.upp; view.y -= dy * view.upp; place(); };
function boxOf(stand) {
  const [u, v] = liftedFrom(stand) ?? placeAt(pathOf[stand], firstOf[stand]), box = [u, v, u, v];
  const take = ([x, y]) => {
    box[0] = Math.min(box[0], x); box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x); box[3] = Math.max(box[3], y);
  };
  for (let i = firstOf[stand]; i <= lastOf[stand]; i++) take(placeAt(pathOf[stand], i));
  pauseAt(stand)?.marks.forEach(take);
  return box;
}
const narrow = () => size()[0] < 600; // then rows and columns have only their numbers at the edge
function fitWhole() {
  const named = plan.rows.length + plan.columns.length > 0;
  fit([X0 + plan.room, Y0 + plan.room, X1 - plan.room, Y1 - plan.room], 18, named ? (narrow() ? 14 : 44) : 0, named ? 8 : 0);
  allSeen = true;
}
function fitStep() {
  const [x0, y0, x1, y1] = boxOf(now), least = 2500;
  const wide = Math.max(least - (x1 - x0), 0) / 2, high = Math.max(least - (y1 - y0), 0) / 2;
  fit([x0 - wide, y0 - high, x1 + wide, y1 + high], 60);
}
function keepInSight([x0, y0, x1, y1]) { // where the box lies outside or does not fit, its middle goes to the middle
  if (allSeen) return;
  const [width, height] = size(), edge = 14 * view.upp;
  const out = (low, high, from, span) => low < from + edge || high > from + span - edge;
  if (out(x0, x1, view.x, width * view.upp)) view.x = (x0 + x1 - width * view.upp) / 2;
  if (out(y0, y1, view.y, height * view.upp)) view.y = (y0 + y1 - height * view.upp) / 2;
}
function nameBlocks() { // as many as there is room for
  names.replaceChildren();
  const letters = 12 * laidUpp, short = narrow(), x = X0 + plan.room - letters / 2, y = Y0 + plan.room - letters / 2;
  const along = (list, room, put) => {
    let free = -Infinity;
    for (const [number, low, high] of list) {
      const middle = (low + high) / 2;
      if (middle < free) continue;
      free = middle + room * letters;
      put(number, middle);
    }
  };
  along(plan.columns, short ? 1.5 : 5.5, (number, middle) =>
    draw(names, "text", { x: middle, y, "font-size": letters, "text-anchor": "middle" }, short ? number : `column ${number}`));
  along(plan.rows, 1.5, (number, middle) =>
    draw(names, "text", { x, y: middle + letters / 3, "font-size": letters, "text-anchor": "end" }, short ? number : `row ${number}`));
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
const around = ([x, y], px) => [x - px * laidUpp, y - px * laidUpp, x + px * laidUpp, y + px * laidUpp];
let labelled = []; // the labels' boxes and texts
function labels(wanted) { // [x, y, text] each, one after another where it covers least; one that would cover another is left out
  const u = laidUpp, [width, height] = size();
  const sight = [view.x, view.y, view.x + width * view.upp, view.y + height * view.upp];
  const taken = [...named, ...[...wanted, needleAt()].map((place) => (place ? around(place, 10) : [0, 0, 0, 0]))];
  labelled = [];
  for (const [x, y, words] of wanted) {
    const wide = (9 * words.length + 4) * u, high = 20 * u;
    let best = null, least = Infinity;
    for (const [side, down] of [[1, -25], [1, 5], [-1, -25], [-1, 5], [1, -10], [-1, -10]]) {
      const left = side > 0 ? x + 12 * u : x - 12 * u - wide, top = y + down * u, box = [left, top, left + wide, top + high];
      const covers = taken.reduce((sum, other) => sum + shared(box, other), wide * high - shared(box, sight));
      if (covers < least - u * u) { least = covers; best = { side, box }; }
    }
    const { side, box } = best;
    if (labelled.some((other) => shared(other.box, box) > u * u)) continue;
    const text = draw(mark, "text", {
      x: side > 0 ? box[0] : box[2], y: box[1] + 15 * u, "font-size": 15 * u, "stroke-width": 4 * u,
      "text-anchor": side > 0 ? "start" : "end",
    }, words);
    taken.push(box);
    labelled.push({ box, text });
  }
}
const isBobbin = (stand) => pauseAt(stand)?.kind === "bobbin";
function marksOf(stand) { // a step in which a bobbin runs out shows where, as the pause before it does
  const marks = [...(pauseAt(stand)?.marks ?? [])];
  if (!pauseAt(stand)) for (let s = stand - 1; s >= 0 && isBobbin(s); s--) marks.push(...pauseAt(s).marks);
  return marks;
}
function drawMark() {
  if (!laidUpp) return;
  mark.replaceChildren();
  const path = pathOf[now], u = laidUpp, first = firstOf[now], last = lastOf[now];
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
  const from = placeAt(path, first), [sx, sy] = liftedFrom(now) ?? from, [nx, ny] = placeAt(path, last), marks = marksOf(now);
  if (liftedFrom(now))
    draw(mark, "path", { class: "lift", d: `M${sx} ${sy}L${from[0]} ${from[1]}`, "stroke-width": 2.2 * u, "stroke-dasharray": `0 ${6 * u}` });
  if (endsPath(now))
    draw(mark, "path", { class: "tie", d: `M${nx - 10 * u} ${ny - 10 * u}l${20 * u} ${20 * u}m0 ${-20 * u}l${-20 * u} ${20 * u}`, "stroke-width": 2 * u });
  for (const [x, y] of marks)
    draw(mark, "path", { class: "place", d: `M${x - 8 * u} ${y - 8 * u}h${16 * u}v${16 * u}h${-16 * u}Z`, "stroke-width": 2.4 * u });
  if (!pauseAt(now))
    draw(mark, "path", { class: "next", d: `M${nx} ${ny - 9 * u}l${9 * u} ${9 * u}l${-9 * u} ${9 * u}l${-9 * u} ${-9 * u}Z`, "stroke-width": 2 * u });
  needle = draw(mark, "circle", { class: "needle", r: 6 * u, "stroke-width": 2 * u });
  const next = now < standCount - 1 ? "next" : "end: all is sewn";
  const ends = Math.hypot(nx - sx, ny - sy) < 12 * u ? [[nx, ny, next]] : [[nx, ny, next], [sx, sy, "here"]];
  labels([...(pauseAt(now) ? [] : ends), ...marks]);
  moveNeedle();
}
function moveNeedle() { // a label that it comes to is out of its way
  if (!needle) return;
  const place = needleAt();
  needle.setAttribute("visibility", place ? "visible" : "hidden");
  if (place) needle.setAttribute("transform", `translate(${place[0]} ${place[1]})`);
  for (const { box, text } of labelled) text.setAttribute("visibility", place && shared(box, around(place, 8)) ? "hidden" : "visible");
}
function needleAt() { // null while the quilt is moved
  const path = pathOf[now], first = firstOf[now], lead = leadOf(now), sewn = along - lead;
  if (pauseAt(now)) {
    let before = now - 1;
    while (before >= 0 && pauseAt(before)) before -= 1;
    if (before < 0 || plan.bands[pathOf[before]] !== plan.bands[path]) return null;
    return placeAt(pathOf[before], lastOf[before]);
  }
  const between = ([x, y], [u, v], part) => [x + part * (u - x), y + part * (v - y)];
  if (sewn < 0) return between(liftedFrom(now), placeAt(path, first), along / lead);
  if (sewn >= lengths[lengths.length - 1]) return placeAt(path, lastOf[now]);
  const [low, part] = sewnTo(sewn);
  return between(placeAt(path, first + low), placeAt(path, first + low + 1), part);
}
function sewnTo(sewn) { // after how many of the step's points that is, and how far on to the next one, from 0 to 1
  let low = 0, high = lengths.length - 1;
  while (high - low > 1) { const middle = (low + high) >> 1; if (lengths[middle] <= sewn) low = middle; else high = middle; }
  return [low, lengths[high] > lengths[low] ? (sewn - lengths[low]) / (lengths[high] - lengths[low]) : 0];
}
