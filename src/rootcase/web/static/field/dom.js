// Nodes made of names and text alone: nothing that was typed is ever read as HTML.

const SVG = "http://www.w3.org/2000/svg";
const DRAWN = new Set(["svg", "path", "rect", "circle", "line", "text", "tspan", "g", "title", "pattern", "defs"]);

// `on` holds listeners by event, `value` is set as it is; false and null leave an attribute out.
export function el(tag, { on = {}, value, ...attributes } = {}, ...children) {
  const node = DRAWN.has(tag) ? document.createElementNS(SVG, tag) : document.createElement(tag);
  for (const [name, given] of Object.entries(attributes)) {
    if (given !== false && given != null) node.setAttribute(name, given === true ? "" : given);
  }
  for (const [event, listener] of Object.entries(on)) node.addEventListener(event, listener);
  if (value !== undefined) node.value = value;
  node.append(...children.flat(Infinity).filter((child) => child != null && child !== false));
  return node;
}

export function put(node, ...children) {
  node.replaceChildren(...children.flat(Infinity).filter((child) => child != null && child !== false));
  return node;
}

const SAID_MS = 15_000;
let over = 0;

// Said to who cannot see it; the same words said again are said again, and gone when their time is.
export function announce(text) {
  const live = document.getElementById("live");
  live.textContent = "";
  clearTimeout(over);
  over = setTimeout(() => (live.textContent = ""), SAID_MS);
  requestAnimationFrame(() => (live.textContent = text));
}

// A key that leads to an address, and one that does something.
export const key = (href, words, look = "") => el("a", { class: `key ${look}`.trim(), href }, words);
export const button = (click, words, look = null) =>
  el("button", { type: "button", class: look, on: { click } }, words);

// Shown, and said to who cannot see it.
export function tell(node, words) {
  put(node, words);
  announce(words);
}

// An icon of the page's own sheet; never without its word.
export const icon = (name) => el("svg", { class: "icon", viewBox: "0 0 24 24", "aria-hidden": "true" },
  el("path", { d: document.getElementById(`icon-${name}`).getAttribute("d") }));
