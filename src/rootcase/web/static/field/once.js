// What is done once: a second tap while the first is being kept is the same tap, and what could not be kept is said.

import { put } from "./dom.js";
import { say } from "./words.js";

/** In words why it was not kept; any other error goes on. */
export function whyNotKept(error) {
  if (!error.say) throw error;
  return say(error.say);
}

export function once(then, told) {
  return async ({ currentTarget }) => {
    if (currentTarget.disabled) return;
    currentTarget.disabled = true;
    try {
      await then();
    } catch (error) {
      put(told, whyNotKept(error));
    } finally {
      currentTarget.disabled = false;
    }
  };
}

/** Of a form: `then` returns true where it is kept and another screen comes; else it may be sent again. */
export function sentOnce(then, told) {
  let over = false;
  return async (event) => {
    event.preventDefault();
    if (over) return;
    over = true;
    try {
      over = Boolean(await then());
    } catch (error) {
      over = false;
      put(told, whyNotKept(error));
    }
  };
}
