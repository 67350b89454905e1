// Where each batch of the day went: what the fieldbook told, and what this phone has told since.

/**
 * By batch {batch, told, loaded, applied, left, lost}, in liters, for each batch that is asked about or that this phone
 * tells something of; pure. loads: FieldLoad; heard: FieldLitres; entries: this phone's own events. A word of this
 * phone stands for what was heard of the same slot, unless that is another's: then somebody corrected it at the desk.
 */
export function tankAccounts(loads, heard, entries, batches) {
  const batchOf = new Map(loads.map(({ id, batch_id: batch }) => [id, batch]));
  const own = entries.filter(({ settled }) => settled?.how !== "let_go");
  const ids = new Set(own.map(({ id }) => id)), slots = new Set(own.map(({ body }) => body.slot));
  const theirs = new Set(heard.filter(({ id }) => !ids.has(id)).map(({ slot }) => slot));
  const over = new Set(own.map(({ body }) => body.supersedes));
  const ours = own.filter(({ id, body }) => !over.has(id) && !theirs.has(body.slot)).map((each) => went(each, batchOf))
    .filter(Boolean);
  const known = heard.filter(({ slot }) => theirs.has(slot) || !slots.has(slot))
    .map(({ batch_id: batch, what, litres }) => ({ batch, what, litres }));
  const all = [...known, ...ours];
  const used = new Set(ours.map(({ batch }) => batch));
  const asked = [...new Set(batchOf.values())].filter((batch) => batches.has(batch) || used.has(batch));
  return asked.map((batch) => {
    const sum = (what) =>
      sumOf(all.filter((each) => each.batch === batch && each.what === what), ({ litres }) => litres);
    const those = loads.filter((each) => each.batch_id === batch);
    return { batch, told: those.map((each) => each.told), loaded: sumOf(those, ({ volume_l: litres }) => litres),
      applied: sum("applied"), left: sum("left"), lost: sum("lost") };
  });
}

function went({ kind, body }, batchOf) {
  const litres = Number(body.volume_l ?? 0);
  if (kind === "litres_told") return { batch: body.batch, what: body.what, litres };
  const batch = batchOf.get(body.load) ?? body.batch;
  return kind === "put_on_logged" && batch ? { batch, what: "applied", litres } : null;
}

export const sumOf = (things, figureOf) => things.reduce((sum, each) => sum + figureOf(each), 0);
