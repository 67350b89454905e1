// Lines or outlines over a photo: a click deletes one or takes it back, clicks beside draw. The form holds all.

const over = document.querySelector("[data-over]");
const box = document.getElementById("drawn");
const pen = document.querySelector("[data-pen]");
const SVG = "http://www.w3.org/2000/svg";
const shape = over.dataset.shape ?? "polyline";
let open = false;

const lines = () => box.value.split(/[;\n]/).map((line) => line.trim()).filter(Boolean)
  .map((line) => line.split(",").map((point) => point.trim().split(/\s+/)));
const write = (all) => { box.value = all.map((line) => line.map((point) => point.join(" ")).join(", ")).join("; "); };

function draw() {
  over.querySelectorAll(".hand").forEach((line) => line.remove());
  for (const line of lines()) {
    const shown = document.createElementNS(SVG, shape);
    const points = line.length > 1 ? line : [line[0], line[0]];
    shown.setAttribute("points", points.map((point) => point.join(",")).join(" "));
    shown.setAttribute("class", "hand");
    over.append(shown);
  }
}

function toggle(group) {
  const tick = document.querySelector(`[name="gone.${group.dataset.line}"]`);
  tick.checked = !tick.checked;
  tick.dispatchEvent(new Event("change", { bubbles: true }));
}

function point(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(over.getScreenCTM().inverse());
  const { width, height } = over.viewBox.baseVal;
  const within = (value, most) => Math.min(Math.max(value, 0), most).toFixed(1);
  const all = "one" in over.dataset ? [] : lines();
  if (!open || !all.length) all.push([]);
  all.at(-1).push([within(at.x, width), within(at.y, height)]);
  open = true;
  write(all);
  draw();
}

function last() {
  const all = lines();
  all.at(-1)?.pop();
  open = Boolean(all.at(-1)?.length);
  write(all.filter((line) => line.length));
  draw();
}

if (pen) {
  over.addEventListener("click", (event) => {
    const group = event.target.closest("[data-line]");
    if (group) toggle(group);
    else point(event);
  });
  document.addEventListener("change", (event) => {
    const at = /^gone\.(\d+)$/.exec(event.target.name ?? "");
    if (at) over.querySelector(`[data-line="${at[1]}"] ${shape}`).classList.toggle("gone", event.target.checked);
  });
  box.addEventListener("input", draw);
  pen.querySelector("[data-end]")?.addEventListener("click", () => { open = false; });
  pen.querySelector("[data-last]")?.addEventListener("click", last);
  pen.hidden = false;
}
