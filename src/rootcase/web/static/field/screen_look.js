// First look: five cards, one question at a time, each saved by itself. An address says the card: #/look/PROPERTY/TREE/rod.

import { el, put } from "./dom.js";
import { groundCard, flareCard } from "./look_choices.js";
import { rodCard, shootsCard } from "./look_numbers.js";
import { typedTold } from "./look_saved.js";
import { speciesCard } from "./look_species.js";
import { photoKey } from "./photo_key.js";
import { treeCutOpen } from "./section.js";
import { show as written } from "./units.js";
import { say } from "./words.js";

export const CARDS = ["species", "shoots", "rod", "ground", "flare"];
const TIMES = 3;
const SHOWN = { species: speciesCard, shoots: shootsCard, rod: rodCard, ground: groundCard, flare: flareCard };
const OF = { species: "species", shoots: "shoot_length_last", rod: "probe_depth", ground: "ground_under_crown", flare: "root_flare_state" };

export async function show(main, [property, tree, asked], field) {
  const look = await lookAt(field, property, tree);
  const card = CARDS.includes(asked) ? asked : nextCard(look) ?? CARDS[0];
  field.head(look.tree.label, say("field.look.of", { at: CARDS.indexOf(card) + 1, all: CARDS.length }));
  const question = el("section", { class: "question" });
  put(main, el("div", { class: "look" }, pictureOf({ ...look, field }, card), question));
  const again = () => show(main, [property, tree, card], field);
  const onward = async () => onwardFrom(field, await lookAt(field, property, tree), card);
  const undone = (kind) => (cardOf(kind) ? field.go("look", property, tree, cardOf(kind)) : again());
  SHOWN[card](main.firstChild, question, { ...look, field, card, times: TIMES, again, onward, undone, photo: photoKey(field, look, again) });
}

// The tree with what this look has read, which is what was read today; the species also what stands from before.
export async function lookAt(field, property, id) {
  const ground = await field.book.ofProperty(property);
  const tree = ground.trees.find((each) => each.id === id);
  if (!tree) throw new Error(say("field.no_tree"));
  const own = ground.pits.filter((pit) => pit.tree_id === id);
  const of = new Set([id, ...own.map((pit) => pit.id)]);
  const all = ground.readings.filter((each) => each.stands && of.has(each.of));
  const today = all.filter((each) => each.day === field.day());
  return { property, ground, tree, pits: own, all, today, read: (kind) => (kind === "species" ? all : today).filter((each) => each.kind === kind) };
}

export const cardOf = (kind) => CARDS.find((card) => OF[card] === kind);
export const done = (look, card) => look.read(OF[card]).length >= (["shoots", "rod"].includes(card) ? TIMES : 1);

export const nextCard = (look, after = "") => {
  const from = CARDS.indexOf(after) + 1;
  return [...CARDS.slice(from), ...CARDS.slice(0, from)].find((card) => card !== after && !done(look, card));
};

// Onward: the next card in order that is not read; after the last one the first answer.
function onwardFrom(field, look, card) {
  const next = CARDS.slice(CARDS.indexOf(card) + 1).find((each) => !done(look, each));
  if (next) field.go("look", look.property, look.tree.id, next);
  else field.go("answer", look.property, look.tree.id);
}

function pictureOf(look, now) {
  const finished = new Set(CARDS.filter((card) => done(look, card)));
  const told = Object.fromEntries(CARDS.map((card) => [card, finished.has(card) ? readTold(look, card) : say(`field.look.short.${card}`)]));
  if (!finished.has(now) && now !== "ground") told[now] = say("field.look.now", { what: say(`field.look.short.${now}`) });
  return treeCutOpen({ told, done: finished, now });
}

// What the answer takes of a card: of several lengths their mean.
function readTold(look, card) {
  const read = look.read(OF[card]), lengths = read.filter((each) => each.value != null), kind = look.field.kinds[OF[card]];
  if (!lengths.length) return card === "species" ? nameTold(look.field, read.at(-1)) : typedTold(read.at(-1));
  const mean = lengths.reduce((sum, each) => sum + each.value, 0) / lengths.length;
  return say(`field.look.${card}_told`, { length: written(kind, mean, look.field.system()) });
}

const nameTold = ({ catalogue }, read) => catalogue.species.find(([name]) => name === read.choice)?.[1].split("|")[0] || typedTold(read);
