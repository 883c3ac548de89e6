// The list, walking on, going to a place, hands and keys; walkthrough_drawing.js comes before, in one function with it.

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
      const item = make(built, "li", {});
      if (step === part.first || plan.under[step] !== plan.under[step - 1]) make(item, "h5", {}, headingOf(step));
      const choose = make(item, "button", { type: "button", class: plan.travels[step] ? "step travel" : "step", "data-step": step, tabindex: "-1" });
      make(choose, "span", {}, `${step + 1} `);
      make(choose, "span", {}, wordsOf(step));
    }
    part.items.append(built);
    part.items.querySelector("button").tabIndex = 0;
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
  button = part.items.children[now - part.first].querySelector("button");
  button.setAttribute("aria-current", "step");
  button.tabIndex = 0;
  const top = button.offsetTop - list.offsetTop, height = list.clientHeight;
  if (top < list.scrollTop + 48 || top + button.offsetHeight > list.scrollTop + height) list.scrollTop = top - height / 3;
  if (focus) button.focus({ preventScroll: true });
}

// ---------------------------------------------------------------- choosing a step
let announced = 0, listed = 0;
function tell(aloud) {
  at("under").textContent = headingOf(now);
  at("told").textContent = `Step ${now + 1} of ${stepCount}: ${wordsOf(now)}`;
  at("after").textContent = now === stepCount - 1
    ? "All is sewn."
    : `Then${plan.under[now + 1] === plan.under[now] ? "" : `, under ${headingOf(now + 1)}`}: ${wordsOf(now + 1)}`;
  at("before").disabled = now === 0;
  at("next").disabled = now === stepCount - 1;
  const time = performance.now();
  if (aloud && (!walking || time - announced > 2500)) { at("live").textContent = ["under", "told", "after"].map((id) => at(id).textContent).join(" "); announced = time; }
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
  const time = clamp(walkOf(now) / speed(), 0.4, 20) * 1000;
  timer = setTimeout(() => {
    if (now === stepCount - 1) { stay(); return; }
    go(now + 1);
    jumpOn();
  }, time);
}
function frame(time) {
  along += speed() * clamp((time - before) / 1000, 0, 0.25);
  before = time;
  let step = now, whole = walkOf(step), left = along;
  while (left >= whole && step < stepCount - 1) {
    left -= whole;
    step += 1;
    whole = walkOf(step);
  }
  if (step !== now) { go(step); along = left; }
  if (now === stepCount - 1 && along >= whole) { stay(); return; }
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
    fits = [];
    for (let step = 0; step < stepCount; step++)
      if (pattern.test(plain(`${headingOf(step)}: ${wordsOf(step)}`))) fits.push(step);
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
  [[["strong", "M0 7h44", 3.4, "7 5"], ["hollow", "M29 7l-13 -6v12Z", 1.8]], "this step, travel: needle down over a seam, a sewn line or open cloth"],
  [[["thin", "M16 1l12 12m0 -12l-12 12", 2]], "tie off"],
  [[["thin", "M2 7h40", 2.2, "0 6"]], "needle up, to the next path"],
  [[["needle", "M16 7a6 6 0 1 0 12 0a6 6 0 1 0 -12 0", 0]], "the needle"],
  [[["next", "M22 -1l8 8l-8 8l-8 -8Z", 2]], "where it goes next"],
  [[["mid", "M0 7h44", 2.4]], "sewn before"],
  [[["faint", "M0 7h44", 1.3]], "still to come"],
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
let onScreen = null; // where we looked before printing
addEventListener("beforeprint", () => {
  const [width, height] = size(), { upp, x, y } = view;
  const box = [Math.max(x, X0), Math.max(y, Y0), Math.min(x + width * upp, X1), Math.min(y + height * upp, Y1)];
  onScreen = { upp, x, y };
  document.documentElement.dataset.print = "";
  if (box[0] < box[2] && box[1] < box[3]) fit(box, 6); else fitWhole();
});
addEventListener("afterprint", () => {
  delete document.documentElement.dataset.print;
  look(onScreen);
});
new ResizeObserver(() => { if (laidUpp) lay(); }).observe(sheet);
measure();
fitWhole();
go(0);
document.documentElement.dataset.ready = "yes";
