// A reading in words: what was not read and why, a choice by its words, else as it was typed.

import { catalogue } from "./catalogue.js";
import { el } from "./dom.js";
import { knows, say } from "./words.js";

export const codeTold = (code) => code.replaceAll("_", " ");

const keyed = (nothing) => nothing.replace(" ", "_");

/** On a key: the kind of nothing, and what it says. */
export const nothingWords = (nothing) => [
  say(`field.nothing.${keyed(nothing)}`), " ", el("small", {}, say(`field.nothing_is.${keyed(nothing)}`))];

export function readingTold({ kind, choice, nothing, typed }) {
  if (nothing) return say(`field.nothing.${keyed(nothing)}`);
  return choice && catalogue.kinds[kind]?.choices ? choiceTold(kind, choice) : typed || choice;
}

export function choiceTold(kind, choice) {
  return knows(`field.choice.${kind}.${choice}`) ? say(`field.choice.${kind}.${choice}`) : codeTold(choice);
}
