// Counting with a big key: every tap is kept as half-typed, so that a killed phone goes on where it was.

import { byWords, choiceRow } from "./choice_row.js";
import { button, el, put, tell } from "./dom.js";
import { halfName } from "./half_typed.js";
import { hold } from "./in_hand.js";
import { once } from "./once.js";
import { goOn, heading, keep, lastKeys, nothingKeys } from "./question.js";
import { codeTold } from "./told.js";
import { wordsFor } from "./units.js";
import { say } from "./words.js";

const BUZZ_MS = 15;

export function tallyQuestion(host, section, q) {
  const { field } = q, { kind } = q.ask;
  const effort = kind.note && say("field.tally.effort", { effort: wordsFor(q.look.system, kind.note) });
  const saved = heading(q, section, effort ? el("p", { class: "still" }, effort) : null);
  const ways = kind.required?.effort?.length ? choiceRow(byWords(kind.required.effort, codeTold)) : null;
  let count = 0;
  const store = async () => {
    if (ways && !ways.chosen()) return tell(saved, say("field.tally.how_many"));
    const told = count ? { value: count, typed: String(count) } : { nothing: "none seen", typed: "none seen" };
    await keep(q, [{ ...told, attributes: ways ? { effort: ways.chosen() } : {} }]);
    return goOn(q, saved);
  };
  const shown = el("output", { class: "typed" }), key = button(once(store, saved), "", "weld");
  const show = () => {
    put(shown, String(count));
    hold(shown, count > 0);
    put(key, say("field.tally.save", { count }));
  };
  const step = (by) => {
    count = Math.max(0, count + by);
    show();
    navigator.vibrate?.(BUZZ_MS);
    if (count) field.half.put(q.half, count);
    else field.half.drop(q.half);
  };
  q.half = halfName(field, "tally", q.of, kind.kind);
  field.half.get(q.half).then((before) => {
    count = Math.max(count, before ?? 0);
    show();
  });
  show();
  const more = say("field.tally.one_more", { what: kind.label });
  host.append(el("button", { type: "button", class: "tally", "aria-label": more, on: { click: () => step(1) } },
    shown, el("span", {}, say("field.tally.tap"))), ways ? ways.keys : "",
  el("div", { class: "last wide" }, button(() => step(-1), say("field.tally.minus")), key),
  lastKeys(q, nothingKeys(q, saved, ["none seen"])));
}
