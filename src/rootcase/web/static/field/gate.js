// At the gate of a stop: what the soil and the place say, and what that means for each job. The server says it for
// every answer; nothing is judged here.

import { newId } from "./canonical.js";
import { concern, locate } from "./forms.js";
import { momentNow } from "./round.js";
import { say } from "./words.js";

/** Why a job may not be done now, in words; none where it may. look: the tree as forms.js tells it. */
export function stopping(field, { task, step, look, seen }) {
  const answers = [seen.soil, ...(seen.around ?? [])].filter(Boolean);
  const bars = task.bars.filter(({ gate }) => gate !== "locate" || !(look && locate(field, look).valid));
  const gates = new Set(bars.map(({ gate }) => gate));
  const tree = task.tree;
  return [
    ...(look && concern(look) && !gates.has("concern")
      ? [{ gate: "concern", says: say("field.stop.concern", { tree }) }] : []),
    ...bars.map(({ gate, says }) => ({ gate, says })),
    ...(task.extract ? extractStops(field, step) : []),
    ...answers.filter((each) => each in task.closes && !(each === "people" && gates.has("use")))
      .map((each) => ({ gate: each, says: task.closes[each] })),
  ];
}

function extractStops(field, { extract }) {
  if (!extract) return [];
  if (extract.bar) return [{ gate: "batch", says: say("field.stop.no_extract", { why: extract.bar }) }];
  const isOver = momentNow(field).toISOString() > extract.until;
  return isOver ? [{ gate: "age", says: say("field.stop.over_age", { hour: extract.use_by }) }] : [];
}

/** Keep what the soil said, once a place of the stop; told again it takes the place of what was told before. */
export async function keepSqueeze(field, step, state, before = {}) {
  const places = [...new Set(step.tasks.map((task) => task.place_id))];
  const slots = Object.fromEntries(places.map((place) => [place, before[place]?.slot ?? newId()]));
  const events = places.map((place) => ({
    kind: "squeeze_told",
    body: {
      slot: slots[place], by: field.start.who?.code ?? "", place, day: field.day(), state,
      ...(before[place] ? { supersedes: before[place].id } : {}),
    },
  }));
  const kept = await field.book.keep({ property: step.property_id, events });
  return Object.fromEntries(places.map((place, at) => [place, { slot: slots[place], id: kept[at].id }]));
}
