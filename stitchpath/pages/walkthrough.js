// The list, walking on, hands and keys; walkthrough_drawing.js and walkthrough_finding.js come before, in one function with it.

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
    const next = index + 1 < plan.parts.length ? beginOf(plan.parts[index + 1][0]) : standCount;
    const head = make(make(built, "h4", {}), "button", { type: "button", "aria-expanded": "false", "aria-controls": `part-${index}`, "data-does": "show" }, words);
    const items = make(built, "ol", { id: `part-${index}`, hidden: "" });
    const part = { first: beginOf(first), next, head, items };
    head.addEventListener("click", () => (items.hidden ? open(part) : close(part)));
    parts.push(part);
  });
  list.append(built);
}
function open(part) {
  if (!part.items.childElementCount) {
    const built = document.createDocumentFragment();
    for (let stand = part.first; stand < part.next; stand++) {
      const item = make(built, "li", {}), pause = pauseAt(stand), step = stepAt(stand);
      if (stand === part.first || headingOf(stand) !== headingOf(stand - 1)) make(item, "h5", {}, headingOf(stand));
      const kind = pause ? "step pause" : plan.travels[step] ? "step travel" : "step";
      const choose = make(item, "button", { type: "button", class: kind, "data-step": stand, tabindex: "-1" });
      make(choose, "span", {}, pause ? " " : `${step + 1} `);
      make(choose, "span", {}, wordsOf(stand));
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
const partOf = (stand) => parts.findLast((part) => part.first <= stand);
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
  const top = button.offsetTop, height = list.clientHeight;
  if (top < list.scrollTop + 48 || top + button.offsetHeight > list.scrollTop + height) list.scrollTop = top - height / 3;
  if (focus) button.focus({ preventScroll: true });
}

// ---------------------------------------------------------------- choosing a step
let announced = 0, listed = 0;
const numbered = (stand) => (pauseAt(stand) ? `Before step ${stepAt(stand) + 1}` : `Step ${stepAt(stand) + 1} of ${stepCount}`);
function tell(aloud) {
  const last = now === standCount - 1;
  at("said").toggleAttribute("data-pause", Boolean(pauseAt(now)));
  at("under").textContent = headingOf(now);
  at("told").textContent = `${numbered(now)}: ${wordsOf(now)}`;
  at("after").textContent = last
    ? "All is sewn."
    : `Then${headingOf(now + 1) === headingOf(now) ? "" : `, under ${headingOf(now + 1)}`}: ${wordsOf(now + 1)}`;
  at("before").disabled = now === 0;
  at("next").disabled = last;
  at("said").toggleAttribute("tabindex", false);
  if (at("said").scrollHeight > at("said").clientHeight) at("said").tabIndex = 0; // so that keys can scroll it
  const time = performance.now();
  if (aloud && (!walking || time - announced > 2500)) { at("live").textContent = ["under", "told", "after"].map((id) => at(id).textContent).join(" "); announced = time; }
}
function measure() {
  const path = pathOf[now], first = firstOf[now], last = lastOf[now], xy = points[path];
  lengths = new Float64Array(last - first + 1);
  for (let i = first; i < last; i++)
    lengths[i - first + 1] = lengths[i - first] + Math.hypot(xy[2 * i + 2] - xy[2 * i], xy[2 * i + 3] - xy[2 * i + 1]);
}
function go(stand, { focus = false, far = 0, look = true, note = "" } = {}) { // far: how far along the step; look: move the drawing there
  now = clamp(stand, 0, standCount - 1);
  along = far;
  measure();
  reach(pathOf[now]);
  addDone(now);
  if (look) keepInSight(boxOf(now));
  place();
  drawMark();
  at("note").textContent = note;
  if (!walking || performance.now() - listed > 150) say(focus);
}
function say(focus) {
  listed = performance.now();
  showInList(focus);
  tell(!focus);
  keep();
}
const inList = () => list.contains(document.activeElement);
const move = (by) => { stay(); go(now + by, { focus: inList() }); };
function movePath(by) {
  stay();
  const path = clamp(pathOf[now] + (by < 0 && now > firstStand[pathOf[now]] ? 0 : by), 0, firstStand.length - 1);
  go(firstStand[path], { focus: inList() });
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
  if (now === standCount - 1) go(0);
  while (pauseAt(now)) go(now + 1);
  at("walk").setAttribute("aria-pressed", "true");
  at("walk").textContent = "Stay";
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
    if (now === standCount - 1) { stay(); return; }
    go(now + 1);
    if (pauseAt(now)) stay(); else jumpOn();
  }, time);
}
function frame(time) {
  along += speed() * clamp((time - before) / 1000, 0, 0.25);
  before = time;
  let stand = now, whole = walkOf(stand), left = along;
  while (left >= whole && stand < standCount - 1 && !pauseAt(stand)) {
    left -= whole;
    stand += 1;
    whole = walkOf(stand);
  }
  if (stand !== now) go(stand, { far: pauseAt(stand) ? 0 : left });
  if (pauseAt(now) || (now === standCount - 1 && along >= whole)) { stay(); return; }
  const [x, y] = needleAt();
  keepInSight([x, y, x, y]);
  place();
  moveNeedle();
  walking = requestAnimationFrame(frame);
}

// ---------------------------------------------------------------- going to a place
let sought = "", fits = [];
function find() {
  const asked = at("wanted").value.trim();
  if (!asked) { at("found").textContent = ASKED; return; }
  if (plain(asked) !== sought) {
    const [found, none] = seek(asked);
    if (!found.length) { at("found").textContent = none; sought = ""; return; }
    [sought, fits] = [plain(asked), found];
    show(fits[0]);
  } else show(fits.find((stand) => stand > now) ?? fits[0]);
}
function show(stand) {
  const told = fits.length > 1 ? `${fits.indexOf(stand) + 1} of ${fits.length} steps that say so; Enter goes to the next.` : `${numbered(stand)}.`;
  at("found").textContent = told;
  stay();
  go(stand, { note: beside.matches || fits.length < 2 ? "" : told });
  if (panel) overlay(null);
}
let tapped = [], turn = 0; // the steps that pass where the drawing was tapped, and which of them is shown
function tap(px, py) {
  const found = passing(view.x + px * view.upp, view.y + py * view.upp);
  if (!found.length) return;
  const same = found.length === tapped.length && found.every(([stand], n) => stand === tapped[n][0]) && now === tapped[turn][0];
  turn = same ? (turn + 1) % found.length : 0;
  tapped = found;
  const [stand, far] = found[turn], more = found.length > 1;
  stay();
  go(stand, { far, look: false, note: more ? `${turn + 1} of ${found.length} steps that pass here; tap again for the next.` : "" });
}

// ---------------------------------------------------------------- where the needle stopped
function lengthWords(hundredths) { // as the directions say lengths
  const count = unit === "in" ? Math.round((hundredths / unitsPer) * 8) : Math.round(hundredths / 100);
  if (unit !== "in") return unit === "cm" ? `${count / 10} cm` : `${count} mm`;
  const whole = Math.floor(count / 8);
  let over = count % 8, under = 8;
  while (over && over % 2 === 0) { over /= 2; under /= 2; }
  return `${[whole || !over ? whole : "", over ? `${over}/${under}` : ""].filter((part) => part !== "").join(" ")} in`;
}
function stopped() { // path, point and how far along, as `resume` takes them
  const path = pathOf[now], sewn = Math.max(along - leadOf(now), 0), count = points[path].length / 2;
  const [past, part] = sewnTo(Math.min(sewn, lengths.at(-1))), point = firstOf[now] + past + Math.round(part);
  const far = lengthOf(path, 0, firstOf[now]) + Math.min(sewn, lengths.at(-1));
  return `Path ${plan.pathNames[path]} at ${lengthWords(far)} from its start, by point ${point + 1} of ${count}: ` +
    `${numbered(now).replace(/ of .*/, "").toLowerCase()}, ${headingOf(standOf[stepAt(now)])}.`;
}

// ---------------------------------------------------------------- the list and the rest, over the drawing
const beside = matchMedia("(min-width: 64rem)"); // the list lies beside the drawing
const OPENS = { list: at("list-opens"), more: at("more-opens") };
let panel = null;
function coverUp() {
  const over = panel === "more" || (panel === "list" && !beside.matches);
  at("seen").inert = over;
  at("reading").inert = panel === "more" && !beside.matches;
}
function overlay(name) { // one of OPENS, or null for the drawing
  const left = panel;
  panel = name;
  if (name) document.body.dataset.panel = name; else delete document.body.dataset.panel;
  for (const [each, opens] of Object.entries(OPENS)) opens.setAttribute("aria-expanded", String(each === name));
  coverUp();
  if (name === "list") showInList(true);
  else if (!name && left) (OPENS[left].offsetParent ? OPENS[left] : at("next")).focus({ preventScroll: true });
}
for (const [name, opens] of Object.entries(OPENS)) opens.addEventListener("click", () => overlay(panel === name ? null : name));
beside.addEventListener("change", () => { if (panel === "list") overlay(null); });

// ---------------------------------------------------------------- hands and keys
const LETTERS = {
  n: () => move(1), b: () => move(-1), w: walk, "+": () => zoom(1.4), "=": () => zoom(1.4), "-": () => zoom(1 / 1.4),
  t: fitStep, 0: fitWhole,
  "/": () => { if (!beside.matches) overlay("list"); at("wanted").focus(); },
};
const KEYS = {
  ArrowRight: () => move(1), ArrowDown: () => move(1), ArrowLeft: () => move(-1), ArrowUp: () => move(-1),
  PageDown: () => movePath(1), PageUp: () => movePath(-1),
  Home: () => { stay(); go(0, { focus: inList() }); }, End: () => { stay(); go(standCount - 1, { focus: inList() }); },
};
const SHIFTED = {
  ArrowLeft: () => pan(60, 0), ArrowRight: () => pan(-60, 0), ArrowUp: () => pan(0, 60), ArrowDown: () => pan(0, -60),
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Escape" && panel) { overlay(null); return; }
  if (event.target.matches("input[type=text], select")) return; // there they type and choose
  const letter = event.key.length === 1;
  if (letter && !at("letters").checked) return;
  if (!letter && panel === "more") return; // they scroll it
  const act = letter ? LETTERS[event.key.toLowerCase()] : (event.shiftKey ? SHIFTED : KEYS)[event.key];
  if (act) { event.preventDefault(); act(); }
});
list.addEventListener("click", (event) => {
  const chosen = event.target.closest("[data-step]");
  if (!chosen) return;
  stay();
  go(Number(chosen.dataset.step), { focus: true });
  if (panel) overlay(null);
});
at("before").addEventListener("click", () => move(-1));
at("next").addEventListener("click", () => move(1));
at("walk").addEventListener("click", walk);
at("speed").addEventListener("change", () => { if (walking) farEnough(); });
at("nearer").addEventListener("click", () => zoom(1.4));
at("farther").addEventListener("click", () => zoom(1 / 1.4));
at("this").addEventListener("click", fitStep);
at("whole").addEventListener("click", fitWhole);
at("stop").addEventListener("click", () => { stay(); at("stopped").textContent = stopped(); });
at("find").addEventListener("submit", (event) => { event.preventDefault(); find(); });
const TAP_PX = 8; // a finger that moves no farther taps
let touched = null; // where a single finger, or the mouse, came down
const hands = new Map();
sheet.addEventListener("pointerdown", (event) => {
  sheet.setPointerCapture(event.pointerId);
  const box = sheet.getBoundingClientRect();
  hands.set(event.pointerId, [event.clientX - box.left, event.clientY - box.top]);
  touched = hands.size === 1 && event.button === 0 ? [event.clientX - box.left, event.clientY - box.top] : null;
});
sheet.addEventListener("pointermove", (event) => {
  const old = hands.get(event.pointerId), box = sheet.getBoundingClientRect();
  if (!old) return;
  const here = [event.clientX - box.left, event.clientY - box.top];
  if (touched && Math.hypot(here[0] - touched[0], here[1] - touched[1]) <= TAP_PX) return;
  touched = null;
  const other = [...hands].find(([id]) => id !== event.pointerId)?.[1];
  hands.set(event.pointerId, here);
  if (!other) { pan(here[0] - old[0], here[1] - old[1]); return; }
  pan((here[0] - old[0]) / 2, (here[1] - old[1]) / 2);
  const apart = (p) => Math.max(Math.hypot(p[0] - other[0], p[1] - other[1]), 10);
  zoom(apart(here) / apart(old), (here[0] + other[0]) / 2, (here[1] + other[1]) / 2, true);
});
for (const name of ["pointerup", "pointercancel"]) sheet.addEventListener(name, (event) => {
  hands.delete(event.pointerId);
  if (touched && name === "pointerup") tap(...touched);
  touched = null;
});
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
  [[["thin", "M15 0h14v14h-14Z", 2.4]], "a mark to align on, or where a new bobbin is put in"],
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
let laidSize = [0, 0];
new ResizeObserver(() => { // what was in the middle stays there
  const [width, height] = size(), [wide, high] = laidSize;
  if (!laidUpp || !width || (width === wide && height === high)) return;
  laidSize = [width, height];
  if (allSeen) { fitWhole(); return; }
  if (!("print" in document.documentElement.dataset)) { view.x += ((wide - width) / 2) * view.upp; view.y += ((high - height) / 2) * view.upp; }
  nameBlocks();
  lay();
}).observe(sheet);
at("found").textContent = ASKED;
tell(false);
measure();
laidSize = size();
fitWhole();
{
  const [stand, far] = kept() ?? [0, 0];
  go(stand, { far, note: stand ? "Taken up where it was left." : "" });
}
document.documentElement.dataset.ready = "yes";
