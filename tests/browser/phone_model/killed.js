// Records and sends with the phone's own modules until the place it is told, where the server kills this very browser; there the page
// stands still in one call that is never answered, so that nothing goes on in between.

import "./places.js";

const asked = new URL(import.meta.url).searchParams;
const PLACE = Number(asked.get("place")), MANY = Number(asked.get("readings"));
let place = 0;

function tell(what, said = {}) {
  const request = new XMLHttpRequest();
  request.open("POST", `/tests/${what}`, false);
  request.setRequestHeader("Content-Type", "application/json");
  request.send(JSON.stringify(said));
}

function here() {
  place += 1;
  if (place === PLACE) tell("kill");
}

async function record(book, newId, markOf, ground) {
  const visit = newId(), tree = ground.trees[0].id, property = ground.property.id;
  const blob = new Blob([Uint8Array.of(0xff, 0xd8, 0xff, ...crypto.getRandomValues(new Uint8Array(60_000)))], { type: "image/jpeg" });
  const day = ground.visits[0].day;
  const reading = (more) => ({ kind: "reading_taken", body: { slot: newId(), of: tree, visit, typed: "14 in", ...more } });
  const entries = [{ kind: "visit_started", body: { slot: newId(), visit, label: `killed ${visit}`, day } }];
  for (let each = 0; each < MANY; each += 1) entries.push(reading({ kind: "dbh", value: "355.6" }));
  const photo = { kind: "tree_photo", typed: "a.jpg", choice: "a.jpg", attributes: { photo: await markOf(await blob.arrayBuffer()) } };
  watchPlaces(here);
  tell("said", { kept: await book.keep({ property, events: entries }) });
  tell("said", { kept: await book.keep({ property, events: [reading(photo)], photos: [{ blob, of: tree }] }) });
}

async function run() {
  const { newId, markOf } = await import("/static/field/canonical.js");
  const book = await import("/static/field/keeping.js");
  const { makeSender } = await import("/static/field/sending.js");
  const { phone } = await book.self();
  const headers = { "Rootcase-Phone": phone };
  const start = await (await fetch("/api/field/start", { headers })).json();
  await book.takeStart(start);
  const id = start.properties[0].id;
  const ground = await (await fetch(`/api/field/properties/${id}`, { headers })).json();
  const sender = makeSender(book, { ask: (...given) => fetch(...given) });
  if (MANY) await record(book, newId, markOf, ground);
  await sender.wake("key");
  const { readings, others, photos } = await book.waiting();
  const held = (await book.events(id)).map((each) => ({ id: each.id, hash: each.hash }));
  tell("done", { places: place, waiting: readings + others + photos, why: sender.told(), held });
}

run().catch((error) => tell("broke", { error: String(error), stack: error.stack }));
