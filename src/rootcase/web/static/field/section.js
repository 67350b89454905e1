// The tree cut open, each of the five readings where it is taken; and the small pictures of covers and flares.

import { el } from "./dom.js";
import { say } from "./words.js";

const AT = { species: [15, 26], shoots: [15, 62], flare: [15, 112], ground: [15, 160], rod: [101, 166] };
const CARDS = Object.keys(AT), MOST = 12;
const HATCH = 9, DASHES = 5;

// told: by card what to say beside it; done: which are read; now: the one asked.
export function treeCutOpen({ told, done, now }) {
  const spoken = CARDS.map((card) => told[card]).join(", ");
  const label = say("field.look.picture", { told: spoken });
  return el("svg", { class: "cut", viewBox: "0 0 118 218", role: "img", "aria-label": label },
    el("path", { class: "crown", d: "M-20 2C78 0 116 12 116 46C116 78 76 88 -20 88z" }),
    el("path", { class: "wood", d: "M12 20L10 128q-2 9-9 12h28q-7-3-9-12L18 20z" }),
    el("rect", { class: "soil", x: -2, y: 140, width: 122, height: 76 }), hatch(),
    el("path", { class: "surface", d: "M-2 140H120" }),
    el("path", { class: "rod", d: "M101 118V200" }), el("path", { class: "rod inner", d: "M101 118V200" }),
    el("path", { class: "rod grip", d: "M91 118h20" }), el("path", { class: "tip", d: "M95.5 196h11l-5.5 10z" }),
    CARDS.map((card) => mark(card, told[card], done.has(card) ? "done" : card === now ? "asked" : "open")));
}

function hatch() {
  const strokes = [];
  for (let y = 148; y < 214; y += HATCH) {
    for (let n = 0; n < DASHES; n += 1) strokes.push(`M${8 + 24 * n + (y % 2) * HATCH} ${y}h11`);
  }
  return el("path", { class: "hatch", d: strokes.join("") });
}

function mark(card, told, state) {
  const [x, y] = AT[card];
  const beside = card === "rod" ? { x: 86, y: 203, "text-anchor": "end" } : { x: x + 14, y: y + 5 };
  return el("g", { class: `mark ${state}` }, el("circle", { cx: x, cy: y, r: 8 }),
    el("text", { class: "told", ...beside }, short(told)));
}

const short = (told) => (told.length > MOST ? `${told.slice(0, MOST - 1)}…` : told);

// A shoot from the last full ring of scars to its bud.
const SHOOT = {
  twig: "M2 30H168M168 30q8-6 10 0q-2 6-10 0", scar: "M40 24v12M43 24v12M46 24v12",
  leaf: "M70 28q4-16 20-14q-2 14-20 14M120 28q4-16 20-14q-2 14-20 14", measure: "M46 6V16M46 11H176M176 6V16",
};
export const shootDrawn = () => el("svg", {
  class: "glyph shoot", viewBox: "0 0 180 44", role: "img", "aria-label": say("field.look.scars"),
}, Object.entries(SHOOT).map(([part, d]) => el("path", { class: part, d })));

const COVERS = {
  litter: "M4 24q6-8 12 0M18 25q6-9 12 0M34 24q6-8 12 0M10 19q6-8 12 0M27 18q6-8 12 0",
  mulch: "M4 24l8-4M14 25l7-6M24 24l9-3M36 25l8-5M9 18l7 2M21 16l8 3M33 17l7-3",
  turf: "M6 25v-9M11 25v-11M16 25v-8M21 25v-11M26 25v-9M31 25v-11M36 25v-8M41 25v-10",
  planting: "M12 25v-6M12 19a6 6 0 1 1 .1 0M36 25v-8M36 17a7 7 0 1 1 .1 0",
  bare: "M8 22h3M20 20h2M30 23h3M40 20h2M14 24h2",
  gravel: "M8 22a3 3 0 1 0 .1 0M18 20a4 4 0 1 0 .1 0M28 22a3 3 0 1 0 .1 0M39 20a4 4 0 1 0 .1 0",
  paving: "M2 14H46M2 20H46M14 14V20M32 14V20M23 20V26M40 20V26M6 20V26",
  mixed: "M4 25v-8M9 25v-8M18 24l8-4M32 20h12M32 20V26M44 20V26",
};
const FLARES = {
  all_round: "M18 2q0 16-12 23M30 2q0 16 12 23M2 25H46M10 25q4-6 6-4M38 25q-4-6-6-4",
  part: "M18 2q0 16-12 23M30 2V25M2 25H46",
  none: "M18 2V25M30 2V25M2 25H46",
};

export function glyph(code) {
  const d = COVERS[code] ?? FLARES[code];
  return d ? el("svg", { class: "glyph", viewBox: "0 0 48 28", "aria-hidden": "true" }, el("path", { d }),
    code in COVERS ? el("path", { class: "surface", d: "M0 27H48" }) : null) : null;
}
