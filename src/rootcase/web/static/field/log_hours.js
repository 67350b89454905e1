// When a piece of work was, as typed: its day is the round's, and what goes past midnight ends the day after.

import { clockOf, dayOf } from "./round.js";
import { say } from "./words.js";

const MS_PER_DAY = 86_400_000;
const CLOCK = /^(\d{1,2})[:.](\d{2})$/;

/** The moments, empty where none is told; what cannot be goes into wrong, by box. As services/log_hours.py. */
export function hoursTold({ day, seen, today }, typed, wrong) {
  const last = typed.ended_on || day, [next] = new Date(Date.parse(day) + MS_PER_DAY).toISOString().split("T");
  if (!(last >= day && last <= next && last <= today)) wrong.ended_on = say("field.log.ended_on_wrong");
  const started = moment(seen, typed.started ?? "", "started", day, wrong);
  const ended = moment(seen, typed.ended ?? "", "ended", last, wrong);
  if (last !== day && !(typed.ended ?? "").trim()) wrong.ended = say("field.log.ended_hour");
  if (started && ended && ended < started) wrong.ended = say("field.log.ends_before");
  return { started, ended };
}

// The clock's own moment may lie behind midnight; of its end the day is typed.
function moment(seen, text, which, day, wrong) {
  if (!text.trim()) return "";
  const isClocks = seen[which] && text.trim() === clockOf(seen[which])
    && (which === "started" || day === dayOf(seen[which]));
  if (isClocks) return new Date(new Date(seen[which]).setSeconds(0, 0)).toISOString();
  const [, hour, minute] = (CLOCK.exec(text.trim()) ?? []).map(Number);
  if (!(hour < 24 && minute < 60)) {
    wrong[which] = say("field.log.not_a_time", { typed: text });
    return "";
  }
  const [year, month, date] = day.split("-").map(Number);
  return new Date(year, month - 1, date, hour, minute).toISOString();
}
