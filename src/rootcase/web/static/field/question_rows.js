// Two questions that are answered by several readings: a shoot back year by year, and what covers each ring of the
// ground.

import { button, el, put } from "./dom.js";
import { newestYear, ringTold } from "./forms.js";
import { hold } from "./in_hand.js";
import { once } from "./once.js";
import { pad } from "./pad.js";
import { goOn, heading, keep, lastKeys, nothingKeys } from "./question.js";
import { number } from "./units.js";
import { say } from "./words.js";

const YEARS = 4, TENTH = 10, WHOLE = 100;
const ended = new Set();

// Scar ring to scar ring from the tip: one length a year, newest first; Next ends this shoot.
export function yearsQuestion(host, section, q) {
  const { field, look, ask } = q;
  const newest = newestYear(field.day(), look.ground.property?.latitude_deg ?? 0);
  const letters = field.start.phone?.letters ?? "";
  const own = ask.readings.filter((each) => each.series.startsWith(letters) && each.day === field.day());
  const last = own.at(-1)?.series;
  const back = own.filter((each) => each.series === last);
  const goes = last && back.length < YEARS && !ended.has(`${look.tree.id} ${last}`);
  const series = goes ? last : `${letters}${new Set(own.map((each) => each.series)).size + 1}`;
  const year = goes ? Math.min(...back.map((each) => each.growth_year)) - 1 : newest;
  const position = look.today("shoot_position").at(-1)?.choice;
  heading(q, section, el("p", { class: "still" }, say("field.form.shoot", { shoot: series, year }),
    position ? "" : ` ${say("field.form.no_position")}`));
  const done = () => {
    ended.add(`${look.tree.id} ${series}`);
    return goes && ask.count < ask.times ? q.again() : q.onward();
  };
  pad(host, {
    kind: ask.kind, system: look.system, label: ask.kind.label, top: section, day: field.day(), onNext: done,
    calibration: field.self.settings?.px_per_mm,
    onSave: async (found) => {
      await keep(q, [{ ...found, series, growth_year: year, attributes: position ? { position } : {} }]);
      const whole = newest - year + 1 >= YEARS;
      return whole && ask.count >= ask.times ? q.onward() : q.again();
    },
  });
}

// Tenths of a ring's ground by cover; kept when they make the whole.
export function coversQuestion(host, section, q) {
  const { covers, rings, cover_sum: [least, most] } = q.field.catalogue.walk;
  const read = new Set(q.ask.readings.map((each) => each.series));
  const ring = rings.find((each) => !read.has(each)) ?? rings.at(-1);
  const named = { ring: ringTold(ring, q.look.system) };
  const saved = heading(q, section, el("p", { class: "still" }, say("field.form.ring", named)));
  const share = Object.fromEntries(covers.map((cover) => [cover, 0]));
  const sum = () => covers.reduce((all, cover) => all + share[cover], 0);
  const told = el("p", { class: "count", role: "status" });
  const step = (cover, by, shown) => {
    share[cover] = Math.min(WHOLE, Math.max(0, share[cover] + by));
    put(shown, say("field.form.percent", { value: share[cover] }));
    put(told, say("field.form.sum", { value: sum() }));
    hold(told, sum() > 0);
  };
  const row = (cover) => {
    const shown = el("output", {}, say("field.form.percent", { value: 0 }));
    const key = (by, words, sign) => el("button", {
      type: "button", "aria-label": say(`field.form.${words}`, { what: cover }),
      on: { click: () => step(cover, by, shown) },
    }, sign);
    return el("li", {}, el("span", {}, cover), key(-TENTH, "less", "−"), shown, key(TENTH, "more", "+"));
  };
  const entry = (cover) => ({
    value: share[cover] / sum(), typed: say("field.form.percent", { value: number(share[cover], 3) }),
    series: ring, attributes: { cover },
  });
  const save = once(async () => {
    if (sum() < least || sum() > most) return put(saved, say("field.form.right_sum", { value: sum() }));
    await keep(q, covers.filter((cover) => share[cover]).map(entry));
    return goOn(q, saved);
  }, saved);
  host.append(el("ul", { class: "steps" }, covers.map(row)), told,
    lastKeys(q, nothingKeys(q, saved), button(save, say("field.form.save_ring", named), "weld")));
}
