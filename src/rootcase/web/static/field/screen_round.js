// A round as it was given: each step in its hour, what the tank holds, how old its extract is; the next stop is the
// main key. Today shows it too.

import { button, el, key, put } from "./dom.js";
import { progress, roundsHere, seenChanges } from "./round.js";
import { dayTold, say } from "./words.js";

export async function show(main, [day], field) {
  const { rounds } = await roundsHere(field);
  field.head(say("field.day_now.to_round"), dayTold(day ?? field.day()));
  const those = rounds.filter((each) => each.day === day);
  put(main, await changedLines(field), await Promise.all(those.map((each) => told(field, each))),
    those.length ? null : el("p", {}, say("field.day_now.no_stop")));
}

/** What Today shows of the rounds: today's whole, tomorrow's as a key; null where there is none. */
export async function roundsToday(field) {
  const { rounds } = await roundsHere(field), changed = await changedLines(field);
  const now = rounds.filter(({ day }) => day === field.day()), later = rounds.filter(({ day }) => day > field.day());
  const past = rounds.filter(({ day }) => day < field.day());
  if (!rounds.length && !changed.length) return null;
  return {
    isToday: now.length > 0,
    nodes: [...changed, ...past.map(({ day, crew }) =>
      key(`#/round/${day}`, say("field.day_now.past", { day: dayTold(day), crew }))),
    ...await Promise.all(now.map((each) => told(field, each))), ...later.map((each) =>
      key(`#/round/${each.day}`, say("field.day_now.tomorrow", {
        crew: each.crew, count: each.steps.filter(({ kind }) => kind === "stop").length,
      })))],
  };
}

async function changedLines(field) {
  const { changed } = await roundsHere(field);
  if (!changed.length) return [];
  const seen = async () => {
    await seenChanges(field);
    box.remove();
  };
  const box = el("div", { class: "notice changed" }, changed.map(({ day, crew, gone }) =>
    el("p", {}, say(gone ? "field.day_now.taken_back" : "field.day_now.changed", { day: dayTold(day), crew }))),
  button(seen, say("field.day_now.seen")));
  return [box];
}

async function told(field, round) {
  const { stops, done, gone, next } = await progress(field, round);
  const numbers = new Map(stops.map(({ id, number }) => [id, number]));
  const to = (step) => `#/stop/${round.day}/${step.id}`;
  const finding = say("field.day_now.finding", {
    crew: round.crew, day: dayTold(round.day, false), count: stops.length, done: done.size,
  });
  const isAhead = round.day > field.day();
  const main = next && !isAhead
    && key(to(next), say("field.day_now.next", { place: next.place, hour: next.starts }), "weld");
  return el("section", { class: "visit round" }, el("h1", { class: "finding" }, finding),
    main ? el("div", { class: "keys" }, main) : null,
    next ? null : el("p", {}, say(gone ? "field.day_now.work_gone" : "field.day_now.all_done")),
    el("ol", { class: "day-steps" }, round.steps.map((step) => row(step, to, numbers.get(step.id), done))),
    round.left_out.length ? el("details", { open: true }, el("summary", {}, say("field.day_now.left_out")),
      el("ul", {}, round.left_out.map((line) => el("li", {}, line)))) : null,
    round.steps.some((each) => each.kind === "fill" && each.extract)
      ? el("div", { class: "keys" }, key(`#/tank/${round.day}`, say("field.tank.title"))) : null,
    el("p", { class: "help" }, round.given));
}

function row(step, to, number, done) {
  const isDone = done.has(step.id);
  const name = number ? `${number} ${step.place}` : step.place;
  const refuse = step.extract && el("b", { class: "refuse-from" },
    say("field.day_now.refuse", { hour: step.extract.use_by }));
  const age = [step.age && `${step.age}; `, step.kind === "fill" && step.extract ? `${step.extract.named}, ` : ""];
  const look = ["day-step", step.kind === "stop" ? "" : step.kind, isDone ? "through" : ""].filter(Boolean).join(" ");
  return el("li", { class: look }, el("span", { class: "hour" }, step.starts),
    el("div", {}, number ? el("a", { href: to(step) }, name) : el("b", {}, name),
      isDone ? el("small", {}, ` ${say("field.day_now.done")}`) : null, step.work ? el("p", {}, step.work) : null,
      step.tank ? el("p", { class: "small" }, step.tank) : null,
      refuse ? el("p", { class: "small" }, age, refuse) : null,
      step.extract?.bar ? el("p", { class: "fault" }, number ? say("field.day_now.no_extract")
        : say("field.stop.no_extract", { why: step.extract.bar })) : null));
}
