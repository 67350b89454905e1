// Moves over the map and draws on it. The text box of corners is what is drawn: whatever is in it is shown, however it
// came there; the same address that the links lead to gives the next picture.

const figure = document.getElementById("map");
const box = document.getElementById("corners");
const live = document.getElementById("live");
const unitM = Number(figure.dataset.unitM);
const drawing = Boolean(figure.dataset.tool && box);
const most = figure.dataset.tool === "tree" ? 1 : 500;
const closed = ["place", "keep_off"].includes(figure.dataset.tool);
const SVG = "http://www.w3.org/2000/svg";
const SETTLES_MS = 160;
const A_DRAG_PX = 6;

let view = null;
let cross = null;
let waiting = 0;
let asked = 0;

const part = () => [...figure.querySelectorAll("[data-size]")].find((each) => each.offsetParent);
const sheet = () => {
  const data = part().querySelector(".ground").dataset;
  return Object.fromEntries(Object.entries(data).map(([name, value]) => [name, Number(value)]));
};
const within = (value, low, high) => Math.min(Math.max(value, low), high);

function look() {
  const { east, north, wide } = sheet();
  view ??= { x: east, y: north, w: wide };
  return view;
}

function onGround(event) {
  const svg = part().querySelector("svg");
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const { west, south, left, foot, pxPerM } = sheet();
  return [west + (at.x - left) / pxPerM, south + (foot - at.y) / pxPerM];
}

// -- the picture

function go(next) {
  view = { x: within(next.x, -1e4, 1e4), y: within(next.y, -1e4, 1e4), w: within(next.w, 1, 2e4) };
  preview();
  clearTimeout(waiting);
  waiting = setTimeout(fetchPicture, SETTLES_MS);
}

// Until the next picture is there, the old one is moved and stretched.
function preview() {
  const svg = part().querySelector("svg");
  const { east, north, wide, pxPerM, left, foot } = sheet();
  const { width, height } = svg.viewBox.baseVal;
  svg.dataset.whole ??= `0 0 ${width} ${height}`;
  const [, , wholeWide, wholeHigh] = svg.dataset.whole.split(" ").map(Number);
  const zoom = view.w / wide;
  const middle = [left + (wide / 2) * pxPerM, foot - (north - sheet().south) * pxPerM];
  const x = middle[0] + (view.x - east) * pxPerM - middle[0] * zoom;
  const y = middle[1] - (view.y - north) * pxPerM - middle[1] * zoom;
  svg.setAttribute("viewBox", `${x} ${y} ${wholeWide * zoom} ${wholeHigh * zoom}`);
}

async function fetchPicture() {
  const here = part();
  const where = new URLSearchParams({ x: view.x.toFixed(2), y: view.y.toFixed(2), w: view.w.toFixed(2) });
  const turn = ++asked;
  const of = drawing ? figure.dataset.of : "";
  const answer = await fetch(`${figure.dataset.address}?${where}&size=${here.dataset.size}&of=${of}`);
  if (!answer.ok || turn !== asked) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
  here.replaceChildren(document.importNode(fresh, true));
  for (const name of ["x", "y", "w"]) {
    for (const input of document.querySelectorAll(`input[type=hidden][name=${name}]`)) input.value = where.get(name);
  }
  sketch();
  const address = new URL(location);
  // A refused form's page has no address of its own.
  if (`${address.pathname}/picture` !== figure.dataset.address) return;
  for (const [name, value] of where) address.searchParams.set(name, value);
  history.replaceState(null, "", address);
}

const MOVES = {
  nearer: ({ x, y, w }) => ({ x, y, w: w / 2 }), farther: ({ x, y, w }) => ({ x, y, w: w * 2 }),
  north: ({ x, y, w }) => ({ x, y: y + w / 6, w }), south: ({ x, y, w }) => ({ x, y: y - w / 6, w }),
  west: ({ x, y, w }) => ({ x: x - w / 6, y, w }), east: ({ x, y, w }) => ({ x: x + w / 6, y, w }),
};

for (const key of document.querySelectorAll("[data-move]")) {
  const move = MOVES[key.dataset.move];
  if (move) key.addEventListener("click", (event) => { event.preventDefault(); go(move(look())); });
}

// -- the corners

const lines = () => box.value.split("\n").map((line) => line.trim()).filter(Boolean);
const corners = () => lines().map((line) => line.split(/[;,\s]+/).map(Number)).filter(
  (pair) => pair.length === 2 && pair.every(Number.isFinite)).map((pair) => pair.map((part) => part * unitM));

function set(point) {
  const typed = point.map((metres) => String(Number((metres / unitM).toFixed(2)))).join(", ");
  box.value = [...lines().slice(0, most - 1), typed].join("\n");
  live.textContent = figure.dataset.corner.replace("#", lines().length).replace("@", typed);
  sketch();
}

function drop() {
  box.value = lines().slice(0, -1).join("\n");
  live.textContent = String(lines().length);
  sketch();
}

function mark(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent.append(made);
}

function sketch() {
  if (!drawing) return;
  const svg = part().querySelector("svg");
  svg.querySelector(".sketch")?.remove();
  const { west, south, left, foot, pxPerM } = sheet();
  const at = ([east, north]) => [left + (east - west) * pxPerM, foot - (north - south) * pxPerM];
  const group = document.createElementNS(SVG, "g");
  group.setAttribute("class", "sketch");
  svg.append(group);
  const points = corners().map(at);
  if (points.length > 1) {
    const d = `M${points.map((point) => point.join(" ")).join("L")}${closed ? "Z" : ""}`;
    mark("path", { d }, group);
    mark("path", { d, class: "in" }, group);
  }
  for (const [cx, cy] of points) mark("circle", { cx, cy, r: 5 }, group);
  if (cross) {
    const [x, y] = at(cross);
    mark("path", { d: `M${x - 14} ${y}h28M${x} ${y - 14}v28`, class: "cross" }, group);
  }
}

// -- fingers, mouse, wheel

const down = new Map();
let from = null;

figure.addEventListener("pointerdown", (event) => {
  if (event.button || !event.target.closest("svg")) return;
  down.set(event.pointerId, event);
  from = { view: { ...look() }, spread: spread(), at: event, moved: false };
});

figure.addEventListener("pointermove", (event) => {
  if (!down.has(event.pointerId)) return;
  const before = down.get(event.pointerId);
  down.set(event.pointerId, event);
  if (down.size > 1) {
    from.moved = true;
    go({ ...view, w: from.view.w * (from.spread / spread()) });
  } else if (from.moved || Math.hypot(event.clientX - from.at.clientX, event.clientY - from.at.clientY) > A_DRAG_PX) {
    if (!from.moved) figure.setPointerCapture(event.pointerId);
    from.moved = true;
    const metres = view.w / (part().clientWidth || 1);
    const east = (event.clientX - before.clientX) * metres, south = (event.clientY - before.clientY) * metres;
    go({ ...view, x: view.x - east, y: view.y + south });
  }
});

for (const end of ["pointerup", "pointercancel"]) {
  figure.addEventListener(end, (event) => {
    if (!down.delete(event.pointerId) || end === "pointercancel") return;
    if (drawing && !from.moved && !down.size) set(onGround(event));
  });
}

function spread() {
  const [one, other] = [...down.values()];
  return other ? Math.max(Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY), 1) : 1;
}

figure.addEventListener("wheel", (event) => {
  if (!(event.ctrlKey || document.activeElement === figure)) return;
  event.preventDefault();
  const [x, y] = onGround(event);
  const zoom = within(1.0015 ** event.deltaY, 0.5, 2);
  const now = look();
  go({ x: x + (now.x - x) * zoom, y: y + (now.y - y) * zoom, w: now.w * zoom });
}, { passive: false });

// -- keys: with a tool the arrows move a cross, else the map; Esc leaves, what was drawn stays

const ARROWS = { ArrowUp: "north", ArrowDown: "south", ArrowLeft: "west", ArrowRight: "east" };

figure.addEventListener("keydown", (event) => {
  const arrow = ARROWS[event.key];
  const zoom = { "+": "nearer", "=": "nearer", "-": "farther" }[event.key];
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (zoom) go(MOVES[zoom](look()));
  else if (arrow && !drawing) go(MOVES[arrow](look()));
  else if (arrow) moveCross(arrow, event.shiftKey ? 0.1 : 1);
  else if (drawing && event.key === "Enter" && cross) set(cross);
  else if (drawing && event.key === "Backspace") drop();
  else if (event.key === "Escape") (box ?? figure).focus();
  else return;
  event.preventDefault();
});

function moveCross(arrow, share) {
  const { x, y, w } = look();
  const [east, north] = cross ?? [x, y];
  const step = (w / 60) * share;
  cross = {
    north: [east, north + step], south: [east, north - step], west: [east - step, north], east: [east + step, north],
  }[arrow];
  if (Math.abs(cross[0] - x) > w * 0.45 || Math.abs(cross[1] - y) > w * 0.25) go({ x: cross[0], y: cross[1], w });
  sketch();
}

if (drawing) {
  figure.dataset.moving = "";
  figure.addEventListener("focus", () => { cross ??= [look().x, look().y]; sketch(); });
  box.addEventListener("input", sketch);
  sketch();
}
