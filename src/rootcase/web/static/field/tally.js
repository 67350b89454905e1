// Counting with a big key: every tap is kept as half-typed, so that a killed phone goes on where it was.

import { announce, el, put } from "./dom.js";
import { halfName } from "./half_typed.js";
import { hold } from "./in_hand.js";
import { once } from "./look_choices.js";
import { choiceRow, goOn, heading, keep, lastKeys, nothingKeys } from "./question.js";
import { codeTold } from "./forms.js";
import { wordsFor } from "./units.js";
import { say } from "./words.js";

const BUZZ_MS = 15;

export function tallyQuestion(host, section, q) {
  const { field } = q, { kind } = q.ask;
  q.half = halfName(field, "tally", q.of, kind.kind);
  const saved = heading(q, section, kind.note ? el("p", { class: "still" }, say("field.tally.effort", { effort: wordsFor(q.look.system, kind.note) })) : "");
  const ways = kind.required?.effort?.length ? choiceRow({ choices: Object.fromEntries(kind.required.effort.map((each) => [each, codeTold(each)])) }) : null;
  let count = 0;
  const shown = el("output", { class: "typed" }), key = el("button", { type: "button", class: "weld", on: { click: once(() => store(), null, saved) } });
  const tell = () => {
    put(shown, String(count));
    hold(shown, count > 0);
    put(key, say("field.tally.save", { count }));
  };
  const step = (by) => {
    count = Math.max(0, count + by);
    tell();
    navigator.vibrate?.(BUZZ_MS);
    if (count) field.half.put(q.half, count);
    else field.half.drop(q.half);
  };
  const store = async () => {
    if (ways && !ways.chosen()) return announce(put(saved, say("field.tally.how_many")).textContent);
    const nothing = count === 0 ? { nothing: "none seen", typed: "none seen" } : { value: count, typed: String(count) };
    await keep(q, [{ ...nothing, attributes: ways ? { effort: ways.chosen() } : {} }]);
    return goOn(q, saved);
  };
  field.half.get(q.half).then((before) => { count = Math.max(count, before ?? 0); tell(); });
  tell();
  host.append(el("button", { type: "button", class: "tally", "aria-label": say("field.tally.one_more", { what: kind.label }), on: { click: () => step(1) } }, shown, el("span", {}, say("field.tally.tap"))),
    ways ? ways.keys : "", el("div", { class: "last wide" }, el("button", { type: "button", on: { click: () => step(-1) } }, say("field.tally.minus")), key),
    lastKeys(q, nothingKeys(q, saved, ["none seen"])));
}
