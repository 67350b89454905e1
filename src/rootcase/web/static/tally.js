// Counting with keys: each press goes into the text of the form, so that what is sent is what is seen.

const pad = document.querySelector("[data-tally]");
const boxes = [...pad.querySelectorAll("[data-one]")].map((key) => ({
  key, shown: key.querySelector("output"), text: document.getElementById(key.dataset.one),
}));
const fields = pad.querySelector("[data-fields]");
const steps = [];
const BUZZ_MS = 15;

// What comes after the last colon or line is this ring's fields.
const parts = (text) => /^([\s\S]*(?:[:\n]))?([^:\n]*)$/.exec(text).slice(1).map((part) => part ?? "");
const counts = (text) => parts(text)[1].trim().split(/[\s,;]+/).filter(Boolean);
const written = (text, now) => `${parts(text)[0]}${parts(text)[0].endsWith(":") ? " " : ""}${now.join(" ")}`;

function show() {
  for (const { shown, text } of boxes) shown.value = counts(text.value).at(-1) ?? "0";
  const most = Math.max(1, ...boxes.map(({ text }) => counts(text.value).length));
  fields.value = fields.dataset.fields.replace("#", most);
}

function change(work) {
  steps.push(boxes.map(({ text }) => text.value));
  work();
  navigator.vibrate?.(BUZZ_MS);
  show();
}

const one = (box) => change(() => {
  const now = counts(box.text.value);
  const most = Math.max(1, ...boxes.map(({ text }) => counts(text.value).length));
  while (now.length < most) now.push("0");
  now.push(String(Number(now.pop()) + 1));
  box.text.value = written(box.text.value, now);
});
const next = () => change(() => {
  const most = Math.max(1, ...boxes.map(({ text }) => counts(text.value).length));
  for (const { text } of boxes) {
    const now = counts(text.value);
    while (now.length < most + 1) now.push("0");
    text.value = written(text.value, now);
  }
});
function back() {
  const before = steps.pop();
  if (before) boxes.forEach(({ text }, at) => { text.value = before[at]; });
  show();
}

boxes.forEach((box) => {
  box.key.addEventListener("click", () => one(box));
  box.text.addEventListener("input", show);
});
pad.querySelector("[data-next]").addEventListener("click", next);
pad.querySelector("[data-back]").addEventListener("click", back);
document.addEventListener("keydown", (event) => {
  const button = event.target.closest("button");
  const own = boxes.find(({ key }) => key === button);
  const itsOwn = button && (!pad.contains(button) || (!own && [" ", "Enter"].includes(event.key)));
  if (itsOwn || event.target.closest("input, textarea, select, summary, a")) return;
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const box = event.key === " " ? own ?? boxes[0] : boxes[Number(event.key) - 1];
  if (event.key === "Enter") next();
  else if (event.key === "Backspace") back();
  else if (box) one(box);
  else return;
  event.preventDefault();
});
pad.hidden = false;
show();
