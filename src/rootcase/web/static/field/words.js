// What is said to people, from the one catalogue.

let words = {};

export async function learnWords() {
  words = await (await fetch("/field/words.json")).json();
}

// A field may count: {count:tree|trees}.
export function say(key, values = {}) {
  if (!(key in words)) throw new Error(`no words under ${key}`);
  return words[key].replace(/\{(\w+)(?::([^|{}]*)\|([^{}]*))?\}/g, (_, name, one, several) => {
    if (!(name in values)) throw new Error(`${key} needs ${name}`);
    return several === undefined ? values[name] : values[name] === 1 ? one : several;
  });
}

export const knows = (key) => key in words;
export const listed = (key) => say(key).split("|");

// 3 May, 3 May 2026 where the year is asked for; of a day such as 2026-05-03.
export function dayTold(day, withYear = true) {
  const [year, month, date] = day.slice(0, 10).split("-").map(Number);
  const named = { day: date, month: listed("dates.months")[0].split(" ")[month - 1], year };
  return say(withYear ? "dates.shown" : "field.day", named);
}
