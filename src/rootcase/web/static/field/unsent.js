// The unsent entries as a file, for a phone that cannot send any more; the desk takes it in (services/phone_file.py).

const FORM = 1;
const PIECE = 0x8000;

/** {name, blob} of all that no server has answered for, what is sealed on this phone included. */
export async function unsentFile(book) {
  const { start, practice, person, phone } = await book.self();
  const { events, photos } = await book.unsent();
  const sealed = await book.sealedPacks();
  const made = new Date().toISOString();
  const told = {
    rootcase_field: FORM, practice: practice ?? "", phone, person: person ?? "", made_at: made, events,
    photos: await Promise.all(photos.map(async ({ hash, blob }) => (
      { mark: hash, type: blob.type, base64: base64(new Uint8Array(await blob.arrayBuffer())) }))),
    sealed: sealed.map((pack) => base64(pack.bytes)),
  };
  const letters = start?.phone?.letters ?? "";
  return { name: `unsent-${letters}-${made.slice(0, 10)}.json`, blob: new Blob([JSON.stringify(told)], { type: "application/json" }) };
}

/** Hand the file to the phone's own keeping of files. */
export async function saveFile(book) {
  const { name, blob } = await unsentFile(book);
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return name;
}

function base64(bytes) {
  let signs = "";
  for (let at = 0; at < bytes.length; at += PIECE) signs += String.fromCharCode(...bytes.subarray(at, at + PIECE));
  return btoa(signs);
}
