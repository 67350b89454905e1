// First look: five cards, one question at a time, each saved by itself. An address says the card:
// #/look/PROPERTY/TREE/rod.

import { el, put } from "./dom.js";
import { flareCard, groundCard } from "./look_choices.js";
import { rodCard, shootsCard } from "./look_numbers.js";
import { speciesCard } from "./look_species.js";
import { photoKey } from "./photo_key.js";
import { treeCutOpen } from "./section.js";
import { readingTold } from "./told.js";
import { show as written } from "./units.js";
import { say } from "./words.js";

const TIMES = 3;
const KINDS = {
  species: { code: "species", times: 1, shown: speciesCard },
  shoots: { code: "shoot_length_last", times: TIMES, shown: shootsCard },
  rod: { code: "probe_depth", times: TIMES, shown: rodCard },
  ground: { code: "ground_under_crown", times: 1, shown: groundCard },
  flare: { code: "root_flare_state", times: 1, shown: flareCard },
};
export const CARDS = Object.keys(KINDS);

export async function show(main, [property, tree, asked], field) {
  const look = await lookAt(field, property, tree);
  const card = CARDS.includes(asked) ? asked : nextCard(look) ?? CARDS[0];
  field.head(look.tree.label, say("field.look.of", { at: CARDS.indexOf(card) + 1, all: CARDS.length }));
  const question = el("section", { class: "question" });
  const host = el("div", { class: "look" }, pictureOf({ ...look, field }, card), question);
  put(main, host);
  const again = () => show(main, [property, tree, card], field);
  const onward = async () => goOnward(field, await lookAt(field, property, tree), card);
  const undone = (kind) => (cardOf(kind) ? field.go("look", property, tree, cardOf(kind)) : again());
  const photo = photoKey(field, look, again);
  KINDS[card].shown(host, question, { ...look, field, card, times: TIMES, again, onward, undone, photo });
}

// The tree with what this look has read, which is what was read today; the species also what stands from before.
export async function lookAt(field, property, id) {
  const ground = await field.book.ofProperty(property);
  const tree = ground.trees.find((each) => each.id === id);
  if (!tree) throw new Error(say("field.no_tree"));
  const pits = ground.pits.filter((pit) => pit.tree_id === id);
  const of = new Set([id, ...pits.map((pit) => pit.id)]);
  const all = ground.readings.filter((each) => each.stands && of.has(each.of));
  const today = all.filter((each) => each.day === field.day());
  const read = (kind) => (kind === "species" ? all : today).filter((each) => each.kind === kind);
  return { property, ground, tree, pits, all, today, read };
}

export const cardOf = (code) => CARDS.find((card) => KINDS[card].code === code);
export const done = (look, card) => look.read(KINDS[card].code).length >= KINDS[card].times;
export const nextCard = (look) => CARDS.find((card) => !done(look, card));

// Onward: the next card in order that is not read; after the last one the first answer.
function goOnward(field, look, card) {
  const next = CARDS.slice(CARDS.indexOf(card) + 1).find((each) => !done(look, each));
  if (next) field.go("look", look.property, look.tree.id, next);
  else field.go("answer", look.property, look.tree.id);
}

function pictureOf(look, now) {
  const finished = new Set(CARDS.filter((card) => done(look, card)));
  const told = Object.fromEntries(CARDS.map((card) =>
    [card, finished.has(card) ? readTold(look, card) : say(`field.look.short.${card}`)]));
  if (!finished.has(now) && now !== "ground") told[now] = say("field.look.now", { what: told[now] });
  return treeCutOpen({ told, done: finished, now });
}

// What the answer takes of a card: of several lengths their mean.
function readTold(look, card) {
  const { field } = look, { code } = KINDS[card];
  const read = look.read(code), lengths = read.filter((each) => each.value != null);
  if (!lengths.length) return card === "species" ? nameTold(field, read.at(-1)) : readingTold(read.at(-1));
  const mean = lengths.reduce((sum, each) => sum + each.value, 0) / lengths.length;
  return say(`field.look.${card}_told`, { length: written(field.kinds[code], mean, field.system()) });
}

const nameTold = ({ catalogue }, read) =>
  catalogue.species.find(([name]) => name === read.choice)?.[1].split("|")[0] || readingTold(read);
