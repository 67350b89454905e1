// The phone's database: what stores there are, and a transaction that is over only when it is on the disk.

const NAME = "rootcase-field";
const VERSION = 1;
const CHANGED = new BroadcastChannel(NAME);
const listeners = new Set();
let opening = null;
CHANGED.onmessage = () => tell();

/** Run `work(stores)` in one transaction, written through to the disk; what it returns comes back when that is done. */
export async function inOneTurn(names, work, mode = "readwrite") {
  const database = await opened();
  return new Promise((resolve, reject) => {
    const turn = database.transaction(names, mode, { durability: "strict" });
    const stores = Object.fromEntries(names.map((name) => [name, turn.objectStore(name)]));
    let found, wrong;
    turn.oncomplete = () => resolve(found);
    turn.onabort = () => reject(wrong ?? turn.error ?? new Error("aborted"));
    work(stores).then((done) => { found = done; }, (error) => { wrong = error; stop(turn); });
  });
}

export function looking(names, work) {
  return inOneTurn(names, work, "readonly");
}

/** The answer of one request. */
export function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** Be told of every change, also by another window of this phone. */
export function onChange(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Tell everybody; over when they are told, so that who waits for it stands on a screen that knows of the change. */
export function changed() {
  CHANGED.postMessage("changed");
  return tell();
}

function tell() {
  return Promise.allSettled([...listeners].map((listener) => listener()));
}

function stop(turn) {
  try {
    turn.abort();
  } catch {
    // It has ended already, and says so itself.
  }
}

function opened() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => furnish(request.result);
    request.onerror = () => { opening = null; reject(request.error); };
    request.onsuccess = () => {
      request.result.onversionchange = () => { request.result.close(); opening = null; };
      request.result.onclose = () => { opening = null; };
      resolve(request.result);
    };
  });
  return opening;
}

function furnish(database) {
  for (const [name, key] of [["events", "id"], ["photos", "key"]]) {
    const store = database.createObjectStore(name, { keyPath: key });
    // An index holds only what has the field: what is to be sent, what was sent and to which fieldbook, what the
    // fieldbook keeps until more has come, what needs somebody. Each by whose it is: nobody's entries go under
    // another's name.
    for (const told of ["waits", "sent", "parked", "aside"]) store.createIndex(told, ["practice", "person", told]);
    store.createIndex("property", "property");
  }
  for (const name of ["grounds", "sheets", "self", "half"]) database.createObjectStore(name);
  database.createObjectStore("sealed", { keyPath: "id" });
}
