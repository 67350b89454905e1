// Something went wrong: what to do first, the numbers that are on file, then a note.

import { newId } from "./canonical.js";
import { announce, el, key, put } from "./dom.js";
import { halfOf } from "./half_typed.js";
import { sentOnce } from "./once.js";
import { momentNow, roundsHere } from "./round.js";
import { say } from "./words.js";

const LONGEST = 2000;
// JUDGEMENT: who reads in US units rings 911; elsewhere a phone puts 112 through to what is rung there.
const EMERGENCY = { us: "911", metric: "112" };

/** of: the property, where the round has the stop no more. */
export async function show(main, [day, id, of], field) {
  const { rounds } = await roundsHere(field);
  const step = rounds.flatMap((each) => each.steps).find((each) => each.id === id);
  const property = step?.property_id ?? of, ground = property ? await field.book.ofProperty(property) : {};
  field.head(step?.place ?? (ground.property?.name || null) ?? say("field.wrong.title"), say("field.wrong.title"));
  put(main, el("h1", { class: "finding" }, say("field.wrong.finding")), ...numbers(ground, EMERGENCY[field.system()]),
    property ? await note(field, day, property, step ? `#/stop/${day}/${id}` : "#/today") : null);
}

function numbers({ contacts = [] }, number) {
  const ring = (phone, words) => key(`tel:${phone.replace(/[^+\d]/g, "")}`, words, "wrong");
  const people = contacts.filter(({ phone }) => phone);
  return [el("div", { class: "near" }, ring(number, say("field.wrong.emergency", { number })),
    people.map(({ role, name, phone }) => ring(phone, `${role}, ${name}: ${phone}`))),
  people.length ? null : el("p", { class: "help" }, say("field.wrong.nobody"))];
}

async function note(field, day, property, back) {
  const name = halfOf(field, day, "wrong", property), said = el("p", { role: "status" });
  const box = el("textarea", { name: "note", rows: 4, maxlength: LONGEST, value: await field.half.get(name) ?? "" });
  const keep = async () => {
    const text = box.value.trim();
    if (!text) return put(said, say("field.wrong.empty")) && false;
    const at = momentNow(field).toISOString(), by = field.start.who?.code ?? "";
    const body = { slot: newId(), day: field.day(), at, by, note: text };
    await field.book.keep({ property, events: [{ kind: "went_wrong_told", body }], half: name });
    announce(say("field.wrong.kept"));
    location.hash = back;
    return true;
  };
  const input = () => (box.value.trim() ? field.half.put(name, box.value) : field.half.drop(name));
  return el("form", { class: "visit", on: { submit: sentOnce(keep, said), input } },
    el("label", { class: "names" }, say("field.wrong.note"), box), said,
    el("div", { class: "keys lower" }, el("button", { class: "weld" }, say("field.wrong.keep"))));
}
