// What to do next about what waits to be sent; pure: a state and what happened in, a state and what is to be done out.
// An entry counts as sent only when an answer of ours, status 200, names its id with its own hash and the fieldbook's
// generation. Nothing else moves it.

export const MOST = 200;
const GONE = new Set(["new", "known", "waiting"]);
const FIRST_WAIT_MS = 5_000;  // JUDGEMENT: shorter than a person looks twice
const LONGEST_WAIT_MS = 15 * 60_000;  // JUDGEMENT: a phone in a pocket, and its battery
const FRESH_MS = 5 * 60_000;  // JUDGEMENT: who is signed in and what they are sent is heard no more often by itself
const AT_ONCE = new Set(["open", "visible", "online", "key"]);
const REFUSALS = { 403: "not_yours", 413: "large", 429: "busy" };

/**
 * who: of which practice and person what is sent is, as the server said since this page was opened; look: whether to
 * ask what became  of what was sent and did not come in.
 */
export const AT_REST = Object.freeze({
  asked: null, who: null, heardAt: 0, look: false, generation: "", most: MOST, tries: 0, notBefore: 0, told: "",
});

/**
 * happening: {is: "wake", why, owed} | {is: "answered", status, ours, body, generation, after_s} | {is: "failed"},
 * each with  `now` in ms and `chance` of 0 to 1. Doings are done in their order.
 */
export function step(state, happening) {
  if (happening.is === "wake") return state.asked ? rest(state) : woken(state, happening);
  if (!state.asked) return rest(state);
  return happening.is === "answered" ? answered(state, happening) : later(state, happening, "offline");
}

function woken(state, { why, owed, now }) {
  const tooEarly = now < state.notBefore, atOnce = AT_ONCE.has(why);
  if (tooEarly && !(atOnce && state.told !== "busy")) return rest(state);
  const isFresh = why !== "key" && Math.abs(now - state.heardAt) < FRESH_MS;
  if (!state.who || (atOnce && !isFresh)) return ask(state, { what: "start" });
  if (owed.stale.length) return ask(state, { what: "held", entries: owed.stale });
  if (owed.stalePhotos.length) return rest(state, { do: "mark", photosAgain: owed.stalePhotos }, { do: "again" });
  if (owed.events.length) return ask(state, { what: "events", entries: owed.events.slice(0, state.most) });
  if (owed.photos.length) return ask(state, { what: "photo", ...owed.photos[0] });
  if (state.look && owed.open.length) return ask({ ...state, look: false }, { what: "open", entries: owed.open });
  return rest({ ...state, told: "" });
}

function ask(state, asked) {
  return { state: { ...state, asked }, doings: [{ do: "ask", ...asked }] };
}

function rest(state, ...doings) {
  return { state, doings };
}

function answered(state, answer) {
  const { asked } = state;
  const sound = answer.ours && Boolean(answer.generation);
  if (answer.status !== 200 || !sound) return refused(state, answer);
  if (asked.what === "start") return named(state, answer);
  const change = JUDGED[asked.what](asked, answer.body);
  if (!change) return later(state, answer, "odd");
  const known = { ...state, generation: answer.generation, asked: null };
  const moved = Object.values(change).some((each) => each.length);
  if (!moved && asked.what !== "open") return later(known, answer, "odd");
  const next = { ...known, tries: 0, notBefore: 0, told: "", most: Math.min(MOST, state.most * 2) };
  const mark = moved ? [{ do: "mark", ...change, generation: answer.generation }] : [];
  return rest(next, ...mark, { do: "again" });
}

/** Whose session this is: nothing is sent before it is known, and then theirs alone. */
function named(state, answer) {
  const { body, generation, now } = answer;
  const { practice, who } = isObject(body) ? body : {};
  if (!practice?.id || !who?.code) return later(state, answer, "odd");
  const next = {
    ...state, asked: null, who: { practice: practice.id, person: who.code }, heardAt: now, look: true, generation,
    tries: 0, notBefore: 0, told: "",
  };
  return rest(next, { do: "heard", start: body }, { do: "again" });
}

const JUDGED = {
  events: (asked, body) => (Array.isArray(body?.events) ? ofBatch(asked.entries, body.events) : null),
  photo: (asked, body) => (body?.mark === asked.mark ? { photos: [asked.key] } : null),
  held: (asked, body) => (isHeld(body) ? ofHeld(asked.entries, body) : null),
  open: (asked, body) => (isHeld(body) ? ofOpen(asked.entries, body) : null),
};

function isHeld(body) {
  return isObject(body?.held) && Array.isArray(body.waiting) && Array.isArray(body.aside);
}

function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function ofBatch(entries, answers) {
  const told = new Map(answers.map((each) => [each?.id, each]));
  const change = { sent: [], aside: [] };
  for (const { id, hash } of entries) {
    const { state, hash: its, error, right, settled } = told.get(id) ?? {};
    if (its === hash && GONE.has(state)) change.sent.push({ id, hash, parked: state === "waiting" });
    else if (state === "conflict" || state === "refused") {
      change.aside.push({ id, told: { state, error, right, settled, held: state === "conflict" || its === hash } });
    }
  }
  return change;
}

/** What the fieldbook of now holds of what one of another generation was sent. */
function ofHeld(entries, body) {
  const change = { sent: [], aside: [], again: [] };
  for (const entry of entries) {
    const misfit = misfitOf(entry, body), { id, hash } = entry;
    if (misfit) change.aside.push(misfit);
    else if (body.held[id] === hash) change.sent.push({ ...entry, parked: body.waiting.includes(id) });
    else change.again.push(id);
  }
  return change;
}

/** What became of entries that the fieldbook kept aside, or until what they speak of would come. */
function ofOpen(entries, body) {
  const change = { sent: [], aside: [] };
  for (const { id, hash, parked } of entries) {
    const misfit = misfitOf({ id, hash }, body);
    if (misfit && (parked || misfit.told.settled)) change.aside.push(misfit);
    if (!misfit && body.held[id] === hash && !body.waiting.includes(id)) change.sent.push({ id, hash });
  }
  return change;
}

function misfitOf({ id, hash }, { aside }) {
  const found = aside.find((each) => each?.id === id && each.hash === hash);
  if (!found) return null;
  const { error, right, settled } = found;
  return { id, told: { state: "refused", error, right, settled, held: true } };
}

function refused(state, answer) {
  const { asked, most } = state;
  const { status, ours, body } = answer;
  const tooMuch = status === 413 || status === 400 || status === 422;
  if (tooMuch && asked.what === "events" && asked.entries.length > 1) {
    const half = Math.ceil(Math.min(most, asked.entries.length) / 2);
    return rest({ ...state, asked: null, most: half, told: "large" }, { do: "again" });
  }
  if (tooMuch && status !== 413 && ours && asked.what === "events") {
    const { error, right } = body ?? {};
    const aside = [{ id: asked.entries[0].id, told: { state: "refused", error, right, held: false } }];
    return rest({ ...state, asked: null }, { do: "mark", aside, generation: "" }, { do: "again" });
  }
  if (ours && asked.what === "photo" && (status === 413 || status === 422)) {
    const { error, right } = body ?? {};
    const photosAside = [{ key: asked.key, told: { state: "refused", error, right, held: false } }];
    return rest({ ...state, asked: null }, { do: "mark", photosAside, generation: "" }, { do: "again" });
  }
  if (!ours) return later(state, answer, status === 200 ? "portal" : "server");
  if (body?.where === "Rootcase-Phone") return later(state, answer, "lost");
  if (body?.where === "Rootcase-Sender") return later({ ...state, who: null }, answer, "another");
  if (status === 401) return later({ ...state, who: null }, answer, "sign_in");
  return later(state, answer, REFUSALS[status] ?? "server", (answer.after_s ?? 0) * 1000);
}

function later(state, { now, chance }, told, atLeast = 0) {
  const growing = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** state.tries) * (0.5 + chance / 2);
  const wait = Math.round(Math.max(growing, atLeast));
  const next = { ...state, asked: null, told, tries: state.tries + 1, notBefore: now + wait };
  return rest(next, { do: "wait", ms: wait });
}
