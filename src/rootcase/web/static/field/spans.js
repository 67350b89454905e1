// A share and what takes from it, drawn against its kind's whole growth, with the interval as a line under it.

import { el } from "./dom.js";

const WIDE = 328, DEEP = 16, LINE = 26;
const at = (points) => (Math.min(Math.max(points, 0), 100) * WIDE) / 100;
const picture = (deep, ...parts) =>
  el("svg", { class: "span", viewBox: `0 0 ${WIDE} ${deep}`, "aria-hidden": "true" }, parts);

const span = (mean, low, high) => [el("path", { class: "ends", d: `M${at(low)} ${LINE}H${at(high)}` }),
  el("circle", { class: "mean", cx: at(mean), cy: LINE, r: 5 })];

export const kindBar = (share, low, high) => picture(34,
  el("rect", { class: "tree", width: at(100 * share), height: DEEP }),
  el("path", { class: "kind", d: `M${WIDE - 1} 0v${DEEP}` }), span(100 * share, 100 * low, 100 * high));

export const lossBar = ({ mean, low, high }) => picture(34,
  el("rect", { class: "rest", x: 0.8, y: 1, width: Math.max(at(100 - mean) - 1.6, 0), height: DEEP - 2 }),
  el("rect", { class: "lost", x: at(100 - mean), width: WIDE - at(100 - mean), height: DEEP }),
  span(100 - mean, 100 - high, 100 - low));

export const blankBar = () => picture(22, el("rect", { class: "blank", x: 1, y: 1, width: WIDE - 2, height: 20 }));
