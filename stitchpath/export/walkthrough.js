"use strict";
// Three layers over each other: the cloth with every path, what this path has sewn so far, and the step itself.
// Coordinates are whole hundredths of a millimetre; `upp` is how many of them there are to a pixel.
(() => {
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
const wordsOf = (step) => plan.said[plan.words[step]];
const lengthOf = (path, first, last) => {
  const xy = points[path];
  let sum = 0;
  for (let i = first; i < last; i++) sum += Math.hypot(xy[2 * i + 2] - xy[2 * i], xy[2 * i + 3] - xy[2 * i + 1]);
  return sum;
};
const endsPath = (step) => step === stepCount - 1 || pathOf[step + 1] !== pathOf[step];
const placeAt = (path, index) => [points[path][2 * index], points[path][2 * index + 1]];
const [unit, unitsPer, decimals] = plan.unit;
const lengthSaid = (units) => `${(units / unitsPer).toFixed(decimals)} ${unit}`;
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
    sewing.setAttribute("stroke-width", 1.2 * laidUpp);
    done.setAttribute("stroke-width", 1.2 * laidUpp);
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
  const box = [Infinity, Infinity, -Infinity, -Infinity];
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
function label(x, y, text, above) {
  const letters = 15 * laidUpp, left = (x - view.x) / view.upp > 0.6 * size()[0];
  draw(mark, "text", {
    x: x + (left ? -12 : 12) * laidUpp, y: y + (above ? -10 : 20) * laidUpp, "font-size": letters,
    "stroke-width": 4 * laidUpp, "text-anchor": left ? "end" : "start",
  }, text.length > 46 ? `${text.slice(0, 45)}…` : text);
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
  const [sx, sy] = placeAt(path, first);
  let [nx, ny] = placeAt(path, last), said = "end: all is sewn";
  if (now < stepCount - 1) {
    said = `next: ${wordsOf(now + 1).split(": ")[0]}`;
    if (endsPath(now)) {
      const [ex, ey] = [nx, ny];
      [nx, ny] = placeAt(path + 1, 0);
      draw(mark, "path", { class: "lift", d: `M${ex} ${ey}L${nx} ${ny}`, "stroke-width": 2.2 * u, "stroke-dasharray": `0 ${6 * u}` });
      draw(mark, "path", { class: "lift", d: `M${ex - 10 * u} ${ey - 10 * u}l${20 * u} ${20 * u}m0 ${-20 * u}l${-20 * u} ${20 * u}`, "stroke-width": 2 * u });
    }
  }
  const near = Math.abs(nx - sx) < 60 * u && Math.abs(ny - sy) < 24 * u;
  draw(mark, "path", { class: "next", d: `M${nx} ${ny - 9 * u}l${9 * u} ${9 * u}l${-9 * u} ${9 * u}l${-9 * u} ${-9 * u}Z`, "stroke-width": 2 * u });
  needle = draw(mark, "circle", { class: "needle", r: 6 * u, "stroke-width": 2 * u });
  label(sx, sy, "here", near || sy <= ny);
  label(nx, ny, said, !(near || sy <= ny));
  moveNeedle();
}
function moveNeedle() {
  if (!needle) return;
  const [x, y] = needleAt();
  needle.setAttribute("transform", `translate(${x} ${y})`);
}
function needleAt() {
  const path = pathOf[now], first = firstOf[now], whole = lengths[lengths.length - 1];
  if (along >= whole) {
    const from = placeAt(path, plan.last[now]);
    if (!liftMm() || along === whole) return from;
    const to = placeAt(path + 1, 0), part = clamp((along - whole) / (liftMm() / 3), 0, 1);
    return [from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1])];
  }
  let low = 0, high = lengths.length - 1;
  while (high - low > 1) { const middle = (low + high) >> 1; if (lengths[middle] <= along) low = middle; else high = middle; }
  const [x, y] = placeAt(path, first + low), [u, v] = placeAt(path, first + high);
  const part = lengths[high] > lengths[low] ? (along - lengths[low]) / (lengths[high] - lengths[low]) : 0;
  return [x + part * (u - x), y + part * (v - y)];
}
function liftMm() { // how far the needle goes up in the air after this step, in hundredths of a mm
  if (now === stepCount - 1 || !endsPath(now)) return 0;
  const [x, y] = placeAt(pathOf[now], plan.last[now]), [u, v] = placeAt(pathOf[now] + 1, 0);
  return Math.hypot(u - x, v - y);
}

// ---------------------------------------------------------------- the list
const list = at("steps"), parts = [];
let openPart = null, button = null;
function make(parent, tag, attributes, text) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (text) made.textContent = text;
  parent.append(made);
  return made;
}
{
  const built = document.createDocumentFragment();
  let section = 0;
  plan.parts.forEach(([first, words], index) => {
    if (section < plan.sections.length && plan.sections[section][0] <= first) make(built, "h3", {}, plan.sections[section++][1]);
    const next = index + 1 < plan.parts.length ? plan.parts[index + 1][0] : stepCount;
    const head = make(make(built, "h4", {}), "button", { type: "button", "aria-expanded": "false", "aria-controls": `part-${index}`, "data-does": "show" }, words);
    const items = make(built, "ol", { id: `part-${index}`, hidden: "", start: first + 1 });
    const part = { first, next, head, items };
    head.addEventListener("click", () => (items.hidden ? open(part) : close(part)));
    parts.push(part);
  });
  list.append(built);
}
function open(part) {
  if (!part.items.childElementCount) {
    const built = document.createDocumentFragment();
    for (let step = part.first; step < part.next; step++) {
      const choose = make(make(built, "li", {}), "button", { type: "button", class: plan.travels[step] ? "step travel" : "step", "data-step": step, tabindex: "-1" });
      make(choose, "span", {}, `${step + 1} `);
      make(choose, "span", {}, wordsOf(step));
    }
    part.items.append(built);
    part.items.firstElementChild.firstElementChild.tabIndex = 0;
  }
  part.items.hidden = false;
  part.head.setAttribute("aria-expanded", "true");
  part.head.dataset.does = "hide";
}
function close(part) {
  part.items.hidden = true;
  part.head.setAttribute("aria-expanded", "false");
  part.head.dataset.does = "show";
}
const partOf = (step) => parts.findLast((part) => part.first <= step);
function showInList(focus) {
  const part = partOf(now);
  if (button) button.removeAttribute("aria-current");
  if (openPart !== part) {
    if (openPart) close(openPart);
    openPart = part;
  }
  open(part);
  for (const roving of part.items.querySelectorAll('[tabindex="0"]')) roving.tabIndex = -1;
  button = part.items.children[now - part.first].firstElementChild;
  button.setAttribute("aria-current", "step");
  button.tabIndex = 0;
  const top = button.offsetTop - list.offsetTop, height = list.clientHeight;
  if (top < list.scrollTop + 48 || top + button.offsetHeight > list.scrollTop + height) list.scrollTop = top - height / 3;
  if (focus) button.focus({ preventScroll: true });
}

// ---------------------------------------------------------------- choosing a step
let announced = 0, listed = 0;
function tell(aloud) {
  const said = `Step ${now + 1} of ${stepCount}: ${wordsOf(now)}. ${lengthSaid(lengths[lengths.length - 1])}.`;
  at("told").textContent = said;
  at("after").textContent = now === stepCount - 1
    ? "Then tie off: all is sewn."
    : endsPath(now)
      ? `Then tie off, and lift ${lengthSaid(liftMm())} to path ${pathOf[now] + 2}: ${wordsOf(now + 1)}.`
      : `Then: ${wordsOf(now + 1)}.`;
  at("before").disabled = now === 0;
  at("next").disabled = now === stepCount - 1;
  const time = performance.now();
  if (aloud && (!walking || time - announced > 2500)) { at("live").textContent = `${said} ${at("after").textContent}`; announced = time; }
}
function measure() {
  const path = pathOf[now], first = firstOf[now], last = plan.last[now], xy = points[path];
  lengths = new Float64Array(last - first + 1);
  for (let i = first; i < last; i++)
    lengths[i - first + 1] = lengths[i - first] + Math.hypot(xy[2 * i + 2] - xy[2 * i], xy[2 * i + 3] - xy[2 * i + 1]);
}
function go(step, { focus = false } = {}) {
  now = clamp(step, 0, stepCount - 1);
  along = 0;
  measure();
  reach(pathOf[now]);
  addDone(now);
  keepInSight(boxOf(now));
  place();
  drawMark();
  if (!walking || performance.now() - listed > 150) say(focus);
}
function say(focus) {
  listed = performance.now();
  showInList(focus);
  tell(!focus);
}
const inList = () => list.contains(document.activeElement);
const move = (by) => { stay(); go(now + by, { focus: inList() }); };
function movePath(by) {
  stay();
  const path = clamp(pathOf[now] + (by < 0 && now > firstStep[pathOf[now]] ? 0 : by), 0, firstStep.length - 1);
  go(firstStep[path], { focus: inList() });
}

// ---------------------------------------------------------------- walking on
let walking = 0, timer = 0, before = 0;
const speed = () => Number(at("speed").value) * unitsPer; // hundredths of a mm a second
function farEnough() { // what two seconds walk is in sight
  const least = 2 * speed() / Math.min(...size());
  if (view.upp >= least) return;
  const [x, y] = needleAt(), [width, height] = size();
  look({ upp: least, x: x - width * least / 2, y: y - height * least / 2 });
}
function walk() {
  if (walking || timer) { stay(); return; }
  if (now === stepCount - 1) go(0);
  at("walk").setAttribute("aria-pressed", "true");
  at("walk").textContent = "Stay here";
  if (still.matches) { jumpOn(); return; }
  farEnough();
  before = performance.now();
  walking = requestAnimationFrame(frame);
}
function stay() {
  cancelAnimationFrame(walking);
  clearTimeout(timer);
  const walked = walking;
  walking = timer = 0;
  if (walked) say(false);
  at("walk").setAttribute("aria-pressed", "false");
  at("walk").textContent = "Walk on";
}
function jumpOn() { // without motion: each step stands as long as it would take
  const time = clamp(lengths[lengths.length - 1] / speed(), 0.4, 20) * 1000;
  timer = setTimeout(() => {
    if (now === stepCount - 1) { stay(); return; }
    go(now + 1);
    jumpOn();
  }, time);
}
function frame(time) {
  along += speed() * clamp((time - before) / 1000, 0, 0.25);
  before = time;
  let step = now, whole = lengths[lengths.length - 1] + liftMm() / 3, left = along;
  while (left >= whole && step < stepCount - 1) {
    left -= whole;
    step += 1;
    whole = lengthOf(pathOf[step], firstOf[step], plan.last[step]);
    if (step < stepCount - 1 && endsPath(step)) {
      const [x, y] = placeAt(pathOf[step], plan.last[step]), [u, v] = placeAt(pathOf[step] + 1, 0);
      whole += Math.hypot(u - x, v - y) / 3;
    }
  }
  if (step !== now) { go(step); along = left; }
  if (now === stepCount - 1 && along >= lengths[lengths.length - 1]) { stay(); return; }
  const [x, y] = needleAt();
  keepInSight([x, y, x, y]);
  place();
  moveNeedle();
  walking = requestAnimationFrame(frame);
}

// ---------------------------------------------------------------- going to a place
const plain = (text) => text.toLowerCase().replace(/,/g, " ").replace(/\s+/g, " ").trim();
let sought = "", fits = [];
function find() {
  const wanted = plain(at("wanted").value);
  if (!wanted) { at("found").textContent = "Write a step's number, or words such as: row 2 column 3"; return; }
  if (/^\d+$/.test(wanted)) {
    const step = Number(wanted);
    if (step < 1 || step > stepCount) { at("found").textContent = `There is no step ${wanted}: they are 1 to ${stepCount}.`; return; }
    at("found").textContent = `Step ${step} of ${stepCount}.`;
    stay(); go(step - 1);
    return;
  }
  if (wanted !== sought) {
    sought = wanted;
    const escaped = wanted.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
    const pattern = new RegExp(`(^|[^\\p{L}\\d])${escaped}(?![\\p{L}\\d])`, "u");
    const fitting = plan.said.map((words) => pattern.test(plain(words)));
    fits = [];
    for (let step = 0; step < stepCount; step++) if (fitting[plan.words[step]]) fits.push(step);
    if (!fits.length) { at("found").textContent = `No step says "${at("wanted").value}".`; sought = ""; return; }
    show(fits[0]);
  } else show(fits.find((step) => step > now) ?? fits[0]);
}
function show(step) {
  at("found").textContent = `${fits.indexOf(step) + 1} of ${fits.length} steps that say so; Enter goes to the next.`;
  stay(); go(step);
}

// ---------------------------------------------------------------- hands and keys
const KEYS = {
  PageDown: () => movePath(1), PageUp: () => movePath(-1), n: () => move(1), b: () => move(-1), w: walk,
  "/": () => at("wanted").focus(), "+": () => zoom(1.4), "=": () => zoom(1.4), "-": () => zoom(1 / 1.4),
  t: fitStep, 0: fitWhole,
};
const LIST_KEYS = {
  ArrowDown: () => move(1), ArrowUp: () => move(-1),
  Home: () => { stay(); go(0, { focus: true }); }, End: () => { stay(); go(stepCount - 1, { focus: true }); },
};
const SHEET_KEYS = {
  ArrowLeft: () => pan(60, 0), ArrowRight: () => pan(-60, 0), ArrowUp: () => pan(0, 60), ArrowDown: () => pan(0, -60),
};
const listen = (target, own) => target.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key, act = own[key] ?? KEYS[key];
  if (act) { event.preventDefault(); act(); }
});
listen(list, LIST_KEYS);
listen(sheet, SHEET_KEYS);
list.addEventListener("click", (event) => {
  const chosen = event.target.closest("[data-step]");
  if (chosen) { stay(); go(Number(chosen.dataset.step), { focus: true }); }
});
at("before").addEventListener("click", () => move(-1));
at("next").addEventListener("click", () => move(1));
at("walk").addEventListener("click", walk);
at("speed").addEventListener("change", () => { if (walking) farEnough(); });
at("nearer").addEventListener("click", () => zoom(1.4));
at("farther").addEventListener("click", () => zoom(1 / 1.4));
at("this").addEventListener("click", fitStep);
at("whole").addEventListener("click", fitWhole);
at("find").addEventListener("submit", (event) => { event.preventDefault(); find(); });
const hands = new Map();
sheet.addEventListener("pointerdown", (event) => {
  sheet.setPointerCapture(event.pointerId);
  const box = sheet.getBoundingClientRect();
  hands.set(event.pointerId, [event.clientX - box.left, event.clientY - box.top]);
});
sheet.addEventListener("pointermove", (event) => {
  const old = hands.get(event.pointerId), box = sheet.getBoundingClientRect();
  if (!old) return;
  const here = [event.clientX - box.left, event.clientY - box.top];
  const other = [...hands].find(([id]) => id !== event.pointerId)?.[1];
  hands.set(event.pointerId, here);
  if (!other) { pan(here[0] - old[0], here[1] - old[1]); return; }
  pan((here[0] - old[0]) / 2, (here[1] - old[1]) / 2);
  const apart = (p) => Math.max(Math.hypot(p[0] - other[0], p[1] - other[1]), 10);
  zoom(apart(here) / apart(old), (here[0] + other[0]) / 2, (here[1] + other[1]) / 2, true);
});
for (const name of ["pointerup", "pointercancel"]) sheet.addEventListener(name, (event) => hands.delete(event.pointerId));
sheet.addEventListener("wheel", (event) => {
  event.preventDefault();
  const box = sheet.getBoundingClientRect();
  zoom(Math.exp(-clamp(event.deltaY, -300, 300) / 400), event.clientX - box.left, event.clientY - box.top, true);
}, { passive: false });
still.addEventListener("change", stay);

// ---------------------------------------------------------------- opening
const LEGEND = [
  [[["strong", "M0 7h44", 3.4], ["solid", "M29 7l-13 -6v12Z", 0]], "this step, sewn"],
  [[["strong", "M0 7h44", 3.4, "7 5"], ["hollow", "M29 7l-13 -6v12Z", 1.8]], "this step, travel: needle down over a seam or a sewn line"],
  [[["thin", "M2 7h40", 2.2, "0 6"], ["thin", "M-4 1l12 12m0 -12l-12 12", 2]], "tie off, then lift: needle up"],
  [[["needle", "M16 7a6 6 0 1 0 12 0a6 6 0 1 0 -12 0", 0]], "the needle"],
  [[["next", "M22 -1l8 8l-8 8l-8 -8Z", 2]], "where it goes next"],
  [[["mid", "M0 7h44", 1.6]], "sewn before"],
  [[["faint", "M0 7h44", 1.6]], "still to come"],
  [[["keep", "M4 0h36v14h-36Z", 1]], "no stitch goes here"],
];
for (const [marks, words] of LEGEND) {
  const item = make(at("legend"), "li", {});
  const sample = draw(item, "svg", { width: 52, height: 18, viewBox: "-4 -2 52 18", "aria-hidden": "true" });
  for (const [kind, d, width, dash] of marks) draw(sample, "path", { class: kind, d, "stroke-width": width, ...(dash && { "stroke-dasharray": dash }) });
  item.append(words);
}
plan.speeds.forEach((perSecond, index) => {
  const option = make(at("speed"), "option", { value: perSecond }, `${perSecond} ${unit} a second`);
  option.selected = index === 1;
});
new ResizeObserver(() => { if (laidUpp) lay(); }).observe(sheet);
measure();
fitWhole();
go(0);
document.documentElement.dataset.ready = "yes";
})();
