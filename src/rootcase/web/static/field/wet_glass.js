// Wet glass: a second touch where the last one was counts as the same one, also where another screen has come between.
// Keys that are pressed again on purpose, such as the figures of 11, are only held for as long as water bounces.

const KEY_MS = 333, FIGURE_MS = 80, NEAR_PX = 24; // JUDGEMENT
const OFTEN = ".pad button:not(.next), .tally, .steps button, .again";

export function holdWetTouches(root) {
  let last = { at: -KEY_MS, x: 0, y: 0, hold: 0 }, touched = false;
  root.addEventListener("pointerdown", ({ pointerType }) => (touched = pointerType !== "mouse"), true);
  root.addEventListener("click", (event) => {
    const key = event.target.closest("button, a");
    if (!key || !touched || !event.detail) return; // a mouse or a keyboard means what it says
    const { timeStamp: at, clientX: x, clientY: y } = event;
    if (at - last.at < last.hold && Math.hypot(x - last.x, y - last.y) < NEAR_PX) {
      event.preventDefault();
      event.stopPropagation();
    } else last = { at, x, y, hold: key.matches(OFTEN) ? FIGURE_MS : KEY_MS };
  }, true);
}
