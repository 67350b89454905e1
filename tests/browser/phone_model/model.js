// Random schedules of loss, repeat, reorder, clock skew, restart and restore, run over the phone's own modules: what was said to be
// saved arrives once, what is marked as sent is on the server, a wrong answer changes nothing, the view is the same in any order. Two practices
// and two people are signed in by turns, as it comes, also behind the page's back: nothing goes to another practice or under another's name.

const PEOPLE = [["own", "crew1"], ["own", "crew1"], ["own", "crew2"], ["other", "crew1"]].map(([practice, person]) => ({ practice, person }));
const PRACTICES = ["own", "other"];
const GROUND = "p1";
const WRONG = ["401", "403", "409", "413", "422", "429", "500", "portal", "cut", "other hash", "no generation", "nothing named"];
const MOST_ASKS = 400;  // of one schedule; an honest one needs some forty
const RealDate = Date;
let clock = RealDate.UTC(2016, 0, 15, 12);

globalThis.Date = class extends RealDate {
  constructor(...given) { super(...(given.length ? given : [clock])); }
  static now() { return clock; }
};

/** Run schedules `from` to `to`; the first fault found, or null. */
export async function run(modules, from, to) {
  const [book, sealed, sending, database, laying] = await Promise.all(
    ["keeping", "sealed", "sending", "database", "laying"].map((name) => import(`${modules}/${name}.js`)));
  for (let seed = from; seed < to; seed += 1) {
    const world = new World({ book, sealed, sending, database, laying }, seed);
    try {
      await world.live();
    } catch (error) {
      return { seed, told: error.message, did: world.did, stack: error.stack };
    }
  }
  return null;
}

class World {
  constructor(modules, seed) {
    Object.assign(this, modules);
    this.chance = randoms(seed);
    this.servers = Object.fromEntries(PRACTICES.map((each) => [each, {
      generation: `${each}0`, events: new Map(), photos: new Set(), aside: new Map(), settled: new Set(), waits: new Set() }]));
    this.session = PEOPLE[0];
    this.backups = [];
    this.said = new Map();   // id -> {hash, whose}, of what was said to be saved
    this.pictures = new Map(PRACTICES.map((each) => [each, new Set()]));
    this.astray = "";
    this.tried = 0;
    this.did = [];
    this.pending = [];
    clock = RealDate.UTC(2016, 0, 15, 12);
  }

  pick(list) { return list[Math.floor(this.chance() * list.length)]; }

  async live() {
    this.database.reset();
    await this.book.takeStart(this.start());
    this.boot();
    const moves = { keep: 6, wake: 6, wrong: 5, restart: 2, another: 2, back: 1, backup: 2, restore: 1, skew: 1, fault: 2, signOut: 1, desk: 1 };
    const names = Object.entries(moves).flatMap(([name, weight]) => Array(weight).fill(name));
    for (let turn = 0; turn < 14; turn += 1) {
      const name = this.pick(names);
      this.did.push(name);
      await this[name]();
      await this.check();
    }
    await this.heal();
  }

  /** The process is new; what the old one still does reaches nothing. */
  boot() {
    this.alive = (this.alive ?? 0) + 1;
    const mine = this.alive, world = this;
    const until = (call) => async (...given) => {
      if (mine !== world.alive) return new Promise(() => {});
      const found = await call(...given);
      return mine === world.alive ? found : new Promise(() => {});
    };
    const book = Object.fromEntries(["self", "owed", "waiting", "mark", "photoBytes", "takeStart"].map((name) => [name, until(this.book[name])]));
    this.sender = this.sending.makeSender(book, {
      ask: until((...asked) => this.counted(...asked)), clock: () => clock, chance: this.chance, later: () => 0,
      alone: (work) => work(),
    });
  }

  /** Another has signed in; the page is told so by the server alone. */
  async another() { this.session = this.pick(PEOPLE); }

  /** At the desk somebody lets go what was kept aside; what waited came in, or did not fit after all. */
  async desk() {
    const { aside, settled, events, waits } = this.servers[this.session.practice];
    for (const id of aside.keys()) settled.add(id);
    for (const id of waits) {
      if (this.chance() < 0.5) aside.set(id, events.get(id));
      if (aside.has(id)) events.delete(id);
    }
    waits.clear();
  }

  start() {
    const { practice, person } = this.session;
    return { practice: { id: practice }, who: { code: person }, properties: [] };
  }

  counted(...asked) {
    this.asks = (this.asks ?? 0) + 1;
    if (this.asks > MOST_ASKS) throw new TypeError("enough");
    return this.network(...asked);
  }

  async keep() {
    const events = [], photos = [];
    const known = [...this.said.keys()];
    for (let each = 0; each <= this.chance() * 3; each += 1) {
      const typed = String(this.tried += 1), slot = `s${Math.floor(this.chance() * 6)}`;
      const old = this.chance() < 0.4 && known.length ? this.pick(known) : null;
      const kind = old ? this.pick(["reading_corrected", "reading_taken_back"]) : "reading_taken";
      events.push({ kind, body: { slot, typed, ...(old ? { supersedes: old } : {}) } });
    }
    const whose = await this.book.self();
    if (this.chance() < 0.4) photos.push({ blob: new Blob([`photo ${this.chance() < 0.3 ? "of all" : this.tried}`]), of: "t" });
    let kept;
    await this.book.half.put("form", "14");
    try {
      kept = await this.book.keep({ property: GROUND, events, photos, half: "form" });
    } catch {
      return this.bare(events);
    }
    for (const { id, hash } of kept) this.said.set(id, { hash, whose });
    const held = this.database.dump();
    for (const { id } of kept) if (!held.events.has(id)) throw new Error("said to be saved and is not there");
    for (const { blob } of photos) this.pictures.get(whose.practice).add(await blob.text());
    clock += 1000;
    return undefined;
  }

  /** What was refused whole leaves nothing of it: no entry without its photo. */
  bare(events) {
    if (this.database.dump().half.get("form") !== "14") throw new Error("not kept, and what was half-typed is gone");
    const typed = new Set(events.map(({ body }) => body.typed));
    for (const row of this.database.dump().events.values()) {
      if (typed.has(JSON.parse(row.body).typed)) throw new Error("kept although it said it was not");
    }
  }

  async fault() {
    this.database.faults.next = this.pick(["full", "lost", "altered"]);
    await this.keep();
    this.database.faults.next = null;
  }

  async wake() {
    this.network = this.honest;
    await this.sender.wake(this.pick(["open", "key", "kept", "timer", "online"]));
    clock += Math.floor(this.chance() * 60_000);
  }

  async wrong() {
    const kind = this.pick(WRONG), before = this.database.dump();
    this.did.push(kind);
    const alsoStart = this.chance() < 0.3;
    this.network = async (...asked) => {
      const isSound = asked[0].endsWith("/start") && !alsoStart;
      return wrongly(isSound ? "" : kind, await this.answer(...asked));
    };
    await this.sender.wake("key");
    const after = this.database.dump();
    for (const name of ["events", "photos"]) {
      for (const [id, row] of before[name]) {
        const now = after[name].get(id);
        // What the server cannot read at all (422), or a photo that is too large (413), is set aside so that the others go on.
        const mayBeAside = kind === "422" || (kind === "413" && name === "photos");
        if (row.waits && !(now?.waits || (mayBeAside && now?.aside))) throw new Error(`gone from the outbox by ${kind}`);
      }
    }
    this.network = this.honest;
    clock += 3_600_000;
  }

  async restart() {
    let stop;
    const stopped = new Promise((resolve) => { stop = resolve; });
    this.network = async (...asked) => {
      if (this.chance() < 0.5) await this.answer(...asked);
      stop();
      return new Promise(() => {});
    };
    await Promise.race([this.sender.wake("key"), stopped]);
    this.boot();
    this.network = this.honest;
  }

  async back() { clock -= Math.floor(this.chance() * 86_400_000); }

  async skew() { clock += Math.floor(this.chance() * 3 * 86_400_000); }

  async backup() { this.backups.push(structuredClone(this.servers)); }

  async restore() {
    if (!this.backups.length) return;
    const { practice } = this.session;
    this.servers[practice] = { ...structuredClone(this.pick(this.backups))[practice], generation: `${practice}${this.did.length}` };
  }

  /** Somebody signs out with nothing sealed: whatever is not sent has to stay. */
  async signOut() {
    const unsent = [...this.database.dump().events.values(), ...this.database.dump().photos.values()].filter((each) => !each.sent).length;
    if (!unsent) return;
    await this.sealed.forgetClear().then(() => { throw new Error("signing out took away what was not sent"); }, () => {});
  }

  /** A network that loses, repeats and delays, and never lies. */
  async honest(...asked) {
    const lot = this.chance();
    if (lot < 0.15) throw new TypeError("lost");
    if (lot < 0.3) { await this.answer(...asked); throw new TypeError("the answer was lost"); }
    if (lot < 0.4) await this.answer(...asked);
    if (lot < 0.5) this.pending.push(asked);
    if (this.pending.length && this.chance() < 0.3) await this.answer(...this.pending.shift());
    return wrongly("", await this.answer(...asked));
  }

  /** The server, as fieldbook/taking_in.py and services/sync.py have it. */
  async answer(address, { body, headers }) {
    const { practice, person } = this.session, server = this.servers[practice], { generation } = server;
    if (address.endsWith("/start")) return { generation, told: this.start() };
    if (headers["Rootcase-Sender"] !== `${practice} ${person}`) return { generation, status: 409, told: { where: "Rootcase-Sender" } };
    if (address.startsWith("/api/photos/")) {
      server.photos.add(address.slice(12));
      return { generation, told: { mark: address.slice(12) } };
    }
    const sent = JSON.parse(body);
    if (address.endsWith("/held")) {
      const there = sent.ids.filter((id) => hashOf(server, id));
      const aside = sent.ids.filter((id) => server.aside.has(id)).map((id) => (
        { id, hash: hashOf(server, id), error: "does not fit", settled: server.settled.has(id) ? "let_go" : "" }));
      return { generation, told: { held: Object.fromEntries(there.map((id) => [id, hashOf(server, id)])), waiting: [...server.waits], aside } };
    }
    return { generation, told: { events: sent.events.map((each) => this.taken(each)) } };
  }

  taken(each) {
    const { practice, person } = this.session, server = this.servers[practice], { id, hash } = each;
    const { whose } = this.said.get(id) ?? { whose: this.session };
    if (whose.practice !== practice || whose.person !== person) this.astray = "taken as another's";
    const here = hashOf(server, id);
    if (here && !server.aside.has(id)) return { id, state: here !== hash ? "conflict" : server.waits.has(id) ? "waiting" : "known", hash: here };
    if (here) return { id, state: "refused", hash, error: "does not fit", settled: server.settled.has(id) ? "let_go" : "" };
    const aside = Number(JSON.parse(each.body).typed) % 7 === 0;
    (aside ? server.aside : server.events).set(id, each);
    const waits = !aside && this.chance() < 0.3;
    if (waits) server.waits.add(id);
    return aside ? { id, state: "refused", hash, error: "does not fit" } : { id, state: waits ? "waiting" : "new", hash };
  }

  /** At any moment: what is marked as sent to this very fieldbook is there, and nothing said to be saved is gone. */
  async check() {
    if (this.asks > MOST_ASKS) throw new Error("asks without end");
    if (this.astray) throw new Error(this.astray);
    const held = this.database.dump();
    for (const [id, { hash, whose }] of this.said) {
      const row = held.events.get(id), server = this.servers[whose.practice];
      if (!row || row.hash !== hash || row.practice !== whose.practice || row.person !== whose.person) throw new Error("said to be saved and is gone");
      if (row.sent === server.generation && hashOf(server, id) !== hash) throw new Error("marked as sent and is not there");
      if (!row.sent && !row.waits && !row.aside && !row.settled) throw new Error("neither waits nor was sent");
    }
    for (const row of held.photos.values()) {
      const server = this.servers[row.practice];
      if (row.sent === server.generation && !server.photos.has(row.mark)) throw new Error("a photo marked as sent is not there");
      if (!row.sent && !row.waits && !row.aside) throw new Error("a photo neither waits nor was sent");
    }
    const { readings, others, photos, ofOthers } = await this.book.waiting();
    const all = [...held.events.values(), ...held.photos.values()].filter((each) => each.waits || (each.aside && !each.sent)).length;
    if (readings + others + photos + ofOthers !== all) throw new Error("tells another number than waits");
  }

  async heal() {
    this.network = (...asked) => this.answer(...asked).then((told) => wrongly("", told));
    for (const asked of this.pending.splice(0)) await this.answer(...asked);
    for (const session of PEOPLE) {
      this.session = session;
      for (let turn = 0; turn < 3; turn += 1) {
        clock += 86_400_000;
        await this.sender.wake("key");
        const photosAgain = (await this.book.needing()).filter(({ kind }) => kind === "photo").map(({ id }) => id);
        await this.book.mark({ photosAgain });
      }
    }
    await this.check();
    for (const [id, { hash, whose }] of this.said) {
      const row = (this.database.dump()).events.get(id);
      if (hashOf(this.servers[whose.practice], id) !== hash && row.why?.state !== "refused") throw new Error("did not arrive");
      const { aside, settled } = this.servers[whose.practice];
      if (aside.has(id) && !settled.has(id) && !row.aside && !row.settled) throw new Error("kept aside, and the phone says sent");
      if (row.aside && row.sent && settled.has(id)) throw new Error("let go at the desk and asks for ever");
    }
    const arrived = PRACTICES.reduce((sum, each) => sum + this.servers[each].events.size + this.servers[each].aside.size, 0);
    if (arrived > this.database.dump().events.size) throw new Error("arrived more than once");
    for (const [practice, pictures] of this.pictures) {
      const { photos } = this.servers[practice];
      if (photos.size !== pictures.size) throw new Error(`${photos.size} photos of ${pictures.size}`);
    }
    await this.views();
  }

  async views() {
    const own = await this.book.events(GROUND);
    const seen = (entries) => JSON.stringify(this.laying.laidOver({ id: GROUND }, entries).readings
      .map(({ id, stands, out, rivals }) => [id, stands, out, rivals.map((each) => each.id).sort()]).sort());
    const mixed = [...own].sort((one, other) => (reversed(one.id) < reversed(other.id) ? -1 : 1));
    if (seen(own) !== seen(mixed)) throw new Error("another order is another view");
  }
}

function hashOf(server, id) { return server.events.get(id)?.hash ?? server.aside.get(id)?.hash; }

function wrongly(kind, { told, generation, status: whole = 200 }) {
  const type = { "content-type": "application/json" };
  const json = (body, status = whole, more = {}) => new Response(typeof body === "string" ? body : JSON.stringify(body), {
    status, headers: { ...type, "fieldbook-generation": generation, ...more } });
  if (/^\d+$/.test(kind)) return json({ error: "no", where: "", right: "" }, Number(kind), { "retry-after": "5" });
  if (kind === "portal") return new Response("<html>Please accept</html>", { headers: { "content-type": "text/html" } });
  if (kind === "cut") return json(JSON.stringify(told).slice(0, -3));
  if (kind === "no generation") return new Response(JSON.stringify(told), { headers: type });
  if (kind === "nothing named") return json({});
  return json(kind === "other hash" ? otherHash(told) : told);
}

function otherHash(told) {
  const { events, mark } = told, other = "0".repeat(64);
  if (events) return { events: events.map((each) => ({ ...each, state: "new", hash: other })) };
  return mark ? { mark: other } : told;
}

const reversed = (text) => [...text].reverse().join("");

/** The same chance for the same seed (mulberry32, common practice, no source). */
function randoms(seed) {
  let at = seed * 2654435761;
  return () => {
    at = (at + 0x6d2b79f5) | 0;
    let mixed = Math.imul(at ^ (at >>> 15), 1 | at);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
