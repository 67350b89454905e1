// A page below /field that keeps its files at hand as the phone's page does, with a form that holds something; then without.

import { hold } from "/static/field/in_hand.js";
import { keepAtHand } from "/static/field/updating.js";

const rest = (ms) => new Promise((over) => setTimeout(over, ms));

async function tell(what) {
  const body = JSON.stringify({ names: await caches.keys() });
  await fetch(`/tests/${what}`, { method: "POST", headers: { "Content-Type": "application/json" }, body });
}

const kept = (await caches.keys()).length;
await tell("loaded");
if (!kept) {
  const screen = document.createElement("main");
  screen.append(document.createElement("input"));
  hold(screen.firstChild);
  document.body.append(screen);
  keepAtHand();
  while (!navigator.serviceWorker.controller) await rest(50);
  await tell("kept");
  const registration = await navigator.serviceWorker.ready;
  while (!registration.waiting) {
    await registration.update();
    await rest(100);
  }
  location.hash = "/held";
  await rest(1000);
  await tell("held");
  hold(screen.firstChild, false);
  const taken = new Promise((over) => navigator.serviceWorker.addEventListener("controllerchange", over, { once: true }));
  location.hash = "/empty";
  await taken;
  location.hash = "/next";
}
