// Counting with a big key: every tap is kept as half-typed, so that a killed phone goes on where it was.

import { announce, el, put } from "./dom.js";
import { once } from "./look_choices.js";
import { choiceRow, goOn, heading, keep, lastKeys, nothingKeys } from "./question.js";
import { codeTold } from "./forms.js";
import { say } from "./words.js";

const BUZZ_MS = 15;

export function tallyQuestion(host, section, q) {
  const { field } = q, { kind } = q.ask, name = `tally:${q.of}:${kind.kind}`;
  const saved = heading(q, section, kind.note ? el("p", { class: "still" }, say("field.tally.effort", { effort: kind.note })) : "");
  const ways = kind.required?.effort?.length ? choiceRow({ choices: Object.fromEntries(kind.required.effort.map((each) => [each, codeTold(each)])) }) : null;
  let count = 0;
  const shown = el("output", { class: "typed" }), key = el("button", { type: "button", class: "weld", on: { click: once(() => store(), null, saved) } });
  const tell = () => {
    put(shown, String(count));
    put(key, say("field.tally.save", { count }));
  };
  const step = (by) => {
    count = Math.max(0, count + by);
    tell();
    navigator.vibrate?.(BUZZ_MS);
    field.half.put(name, count);
  };
  const store = async () => {
    if (ways && !ways.chosen()) return announce(put(saved, say("field.tally.how_many")).textContent);
    const nothing = count === 0 ? { nothing: "none seen", typed: "none seen" } : { value: count, typed: String(count) };
    await keep(q, [{ ...nothing, attributes: ways ? { effort: ways.chosen() } : {} }], { half: name });
    await field.half.drop(name);
    return goOn(q, saved);
  };
  field.half.get(name).then((before) => { count = Math.max(count, before ?? 0); tell(); });
  tell();
  host.append(el("button", { type: "button", class: "tally", "aria-label": say("field.tally.one_more", { what: kind.label }), on: { click: () => step(1) } }, shown, el("span", {}, say("field.tally.tap"))),
    ways ? ways.keys : "", el("div", { class: "last wide" }, el("button", { type: "button", on: { click: () => step(-1) } }, say("field.tally.minus")), key),
    lastKeys(q, nothingKeys(q, saved, ["none seen"])));
}
