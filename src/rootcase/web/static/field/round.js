// The rounds that were given to who has signed in, as they were heard last, and how far they are done.

const KEPT_DAYS = 14, DAY_MS = 86_400_000; // JUDGEMENT: by then the office has asked for what nobody logged

const isOf = ({ practice, person }, rounds) => rounds?.practice === practice && rounds?.person === person;

/**
 * What is kept of what the server told; pure. A round that is another than the one heard before, or is none any more,
 * is named until somebody has seen that; one whose day is over stays, for what of it is not logged. whose: {practice,
 * person}; told: FieldRounds; today: the phone's day.
 */
export function heardRounds(before, told, whose, today) {
  const mine = isOf(whose, before) ? before : { told: { rounds: [] }, changed: [] };
  const now = new Map(told.rounds.map((each) => [each.id, each]));
  const isFresh = ({ day }) => (new Date(today) - new Date(day)) / DAY_MS <= KEPT_DAYS;
  const past = mine.told.rounds.filter(({ id, day }) => day < today && !now.has(id)).filter(isFresh);
  const changed = mine.told.rounds.filter(({ id, day, mark }) => day >= today && now.get(id)?.mark !== mark)
    .map(({ id, day, crew }) => ({ id, day, crew, gone: !now.has(id) }));
  const still = mine.changed.filter(({ id }) => !changed.some((each) => each.id === id));
  return { ...whose, told: { ...told, rounds: [...past, ...told.rounds] }, changed: [...still, ...changed] };
}

/**
 * {rounds of today, later, and earlier where not all is logged; changed; what a stop asks}; nothing of anybody else's.
 */
export async function roundsHere(field) {
  const { rounds, practice, person } = await field.book.self();
  const { told, changed } = isOf({ practice, person }, rounds) ? rounds : { told: { rounds: [] }, changed: [] };
  const isAhead = ({ day }) => day >= field.day();
  const isHere = await Promise.all(told.rounds.map(async (round) =>
    isAhead(round) || Boolean((await progress(field, round)).next)));
  return { ...told, rounds: told.rounds.filter((round, at) => isHere[at]), changed: changed.filter(isAhead) };
}

export async function seenChanges(field) {
  field.self = await field.book.setSelf(({ rounds }) => ({ rounds: { ...rounds, changed: [] } }));
}

/** The stops of a round, each with its number. */
export const stopsOf = (round) =>
  round.steps.filter(({ kind }) => kind === "stop").map((step, at) => ({ ...step, number: at + 1 }));

// A log is of a stop's job where it names the job and, of one that is put on in parts, this part.
const isAt = (step, { jobs = [], part }, job) => jobs.includes(job) && (part || 1) === (step.part || 1);

/** Name of what is half-typed of a job at a stop, after those of the day. */
export const jobAt = ({ part }, job) => (part > 1 ? `${job}-${part}` : job);

/** Ids of the jobs of a stop that are logged, here or at the fieldbook. */
export async function loggedAt(field, step) {
  const own = (await field.book.events(step.property_id)).filter((each) => each.kind === "put_on_logged");
  const isHere = (job) => own.some(({ body }) => isAt(step, body, job));
  return new Set(step.tasks.filter(({ id, done }) => done || isHere(id)).map(({ id }) => id));
}

/** What who has signed in logged here of a job of a stop, as it stands, oldest first. */
export async function logsOf(field, step, job) {
  const all = (await field.book.events(step.property_id)).filter(({ kind }) => kind === "put_on_logged");
  const over = new Set(all.map(({ body }) => body.supersedes));
  return all.filter(({ id, body }) => isAt(step, body, job) && body.by === field.start.who?.code && !over.has(id));
}

/** Whether all of a stop is logged; one whose work left the plan has nothing that could be. */
export const isAllLogged = ({ tasks }, logged) => tasks.length > 0 && tasks.every(({ id }) => logged.has(id));

/** What of a round is logged, by the stop's id; how many stops have no work any more; the first that is not logged. */
export async function progress(field, round) {
  const stops = stopsOf(round);
  const sets = await Promise.all(stops.map((step) => loggedAt(field, step)));
  const done = new Set(stops.filter((step, at) => isAllLogged(step, sets[at])).map(({ id }) => id));
  const [gone, left] = [stops.filter(({ tasks }) => !tasks.length), stops.filter(({ tasks }) => tasks.length)];
  return { stops, done, gone: gone.length, next: left.find(({ id }) => !done.has(id)) };
}

/** The moment, on the day that the phone is held to. */
export function momentNow(field) {
  const now = new Date();
  const held = field.start.held_day;
  if (!held) return now;
  const [year, month, date] = held.split("-").map(Number);
  now.setFullYear(year, month - 1, date);
  return now;
}

export const dayOf = (moment) => {
  const at = new Date(moment), two = (number) => String(number).padStart(2, "0");
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
};

export const clockOf = (moment) => {
  const at = new Date(moment), two = (number) => String(number).padStart(2, "0");
  return `${two(at.getHours())}:${two(at.getMinutes())}`;
};
