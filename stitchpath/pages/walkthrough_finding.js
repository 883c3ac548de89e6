// Finding a stand: by words that somebody writes, by a place on the drawing, and the one left the last time.
const plain = (text) => text.toLowerCase().replace(/,/g, " ").replace(/\s+/g, " ").trim();
const ASKED = "A step, a path, a block, a band, a mark, or words: 40, path 3, 2A, row 2 column 1, band 2, mark 2B";
const standing = (holds) => [...stands.keys()].filter(holds);
const stating = (words) => { // stands whose words or heading say so
  const pattern = new RegExp(`(^|[^\\p{L}\\d])${words.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}(?![\\p{L}\\d])`, "u");
  return standing((stand) => pattern.test(plain(`${headingOf(stand)}: ${wordsOf(stand)}`)));
};
const marked = (name) => standing((stand) =>
  pauseAt(stand)?.kind === "align" && pauseAt(stand).marks.some(([, , label]) => label.toLowerCase() === name));
const columnOf = (letters) => [...letters].reduce((number, letter) => 26 * number + letter.charCodeAt(0) - 96, 0);
const SEEKS = [ // what may be asked: how it is written, where it is found, what is said where it is not
  [/^(?:step )?(\d+)$/, (n) => (n >= 1 && n <= stepCount ? [standOf[n - 1]] : []), (n) => `There is no step ${n}: they are 1 to ${stepCount}.`],
  [/^path (h?\d+)$/, (name) => plan.pathNames.flatMap((other, path) => (other.toLowerCase() === name ? [firstStand[path]] : [])),
    (name) => `There is no path ${name.toUpperCase()}: they are ${plan.pathNames[0]} to ${plan.pathNames.at(-1)}.`],
  [/^band (\d+)$/, (n) => firstStand.filter((_, path) => plan.bands[path] === Number(n)).slice(0, 1),
    (n) => `Nothing is sewn in a band ${n}.`],
  [/^mark (\d+[a-z])$/, marked, (name) => `There is no mark ${name.toUpperCase()} to align a band on.`],
  [/^(\d+)([a-z]{1,2})$/, (row, column) => [...stating(`row ${row} column ${columnOf(column)}`), ...marked(row + column)],
    (row, column) => `No step is in row ${row}, column ${columnOf(column)}.`],
];
function seek(asked) { // the stands that fit, and what to say if there is none
  for (const [written, find, none] of SEEKS) {
    const parts = plain(asked).match(written);
    if (parts) return [find(...parts.slice(1)), none(...parts.slice(1))];
  }
  return [stating(plain(asked)), `No step says "${asked}".`];
}

const BESIDE_PX = 4; // lines that lie no farther apart are one to a finger
function passing(x, y) { // the steps that pass nearest to a place: [stand, how far along it], those that sew first
  const far = (path, i) => { // squared, and which share of the way from this point to the next
    const xy = points[path], ax = xy[2 * i], ay = xy[2 * i + 1], bx = xy[2 * i + 2] - ax, by = xy[2 * i + 3] - ay;
    const part = bx || by ? clamp(((x - ax) * bx + (y - ay) * by) / (bx * bx + by * by), 0, 1) : 0;
    return [(ax + part * bx - x) ** 2 + (ay + part * by - y) ** 2, part];
  };
  let least = Infinity;
  points.forEach((xy, path) => { for (let i = 0; i < xy.length / 2 - 1; i++) least = Math.min(least, far(path, i)[0]); });
  const most = (Math.sqrt(least) + BESIDE_PX * view.upp) ** 2, found = new Map();
  points.forEach((xy, path) => {
    for (let i = 0; i < xy.length / 2 - 1; i++) {
      const [off, part] = far(path, i);
      if (off > most) continue;
      const stand = standOver(path, i);
      if (off < (found.get(stand)?.off ?? Infinity)) found.set(stand, { off, i, part });
    }
  });
  const along = (stand, { i, part }) => leadOf(stand) + lengthOf(pathOf[stand], firstOf[stand], i) + part * lengthOf(pathOf[stand], i, i + 1);
  return [...found].map(([stand, at]) => [stand, along(stand, at)])
    .sort(([one], [other]) => plan.travels[stands[one]] - plan.travels[stands[other]] || one - other);
}
function standOver(path, i) { // the step that goes on from a point
  let low = firstStand[path], high = (firstStand[path + 1] ?? standCount) - 1;
  while (low < high) { const middle = (low + high) >> 1; if (lastOf[middle] > i) high = middle; else low = middle + 1; }
  return low;
}

const KEPT = `stitchpath walk-through ${plan.key}`; // of this very plan
function keep() {
  try { localStorage.setItem(KEPT, JSON.stringify([now, Math.round(along)])); } catch { /* a browser that keeps nothing */ }
}
function kept() { // [stand, how far along it], if there is one
  try {
    const [stand, far] = JSON.parse(localStorage.getItem(KEPT));
    return Number.isInteger(stand) && stand >= 0 && stand < standCount && far >= 0 ? [stand, far] : null;
  } catch { return null; }
}
