// The unsent entries as files, for a phone that cannot send any more: one a practice, whose desk takes it in
// (services/phone_file.py).

const FORM = 1;
const PIECE = 0x8000;

/** {name, blob} by practice of all that no server has answered for, what is sealed on this phone included. */
export async function unsentFiles(book) {
  const { start, practice, person, phone } = await book.self();
  const { events, photos } = await book.unsent();
  const sealed = await book.sealedPacks();
  const made = new Date().toISOString();
  const all = new Set([...events, ...photos, ...sealed].map((each) => each.practice));
  return Promise.all([...all].map(async (each) => {
    const its = (list) => list.filter((one) => one.practice === each);
    const told = {
      rootcase_field: FORM, practice: each, phone, person: each === practice ? person : "", made_at: made,
      events: its(events),
      photos: await Promise.all(its(photos).map(async ({ hash, blob }) => (
        { mark: hash, type: blob.type, base64: base64(new Uint8Array(await blob.arrayBuffer())) }))),
      sealed: its(sealed).map((pack) => base64(pack.bytes)),
    };
    const whose = each === practice ? start?.phone?.letters ?? "" : each;
    const blob = new Blob([JSON.stringify(told)], { type: "application/json" });
    return { name: `unsent-${whose}-${made.slice(0, 10)}.json`, blob };
  }));
}

/** Hand the files to the phone's own keeping of files. */
export async function saveFile(book) {
  const files = await unsentFiles(book);
  for (const { name, blob } of files) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }
  return files.map(({ name }) => name).join(", ");
}

function base64(bytes) {
  let signs = "";
  for (let at = 0; at < bytes.length; at += PIECE) signs += String.fromCharCode(...bytes.subarray(at, at + PIECE));
  return btoa(signs);
}
