// What the server's one catalogue says of kinds, units, species and forms, as /field/kinds.json sends it.

export const catalogue = { kinds: {}, units: [], species: [], forms: [] };

export async function learnCatalogue() {
  Object.assign(catalogue, await (await fetch("/field/kinds.json")).json());
  for (const [code, kind] of Object.entries(catalogue.kinds)) kind.kind = code;
}
