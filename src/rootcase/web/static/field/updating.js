// The pages without a network, and how a new state of them takes over: as a screen is left that holds nothing. Never as
// the page comes back into sight: it may come from the camera, with a picture that is not here yet.

import { holdsAnything, watchBoxes } from "./in_hand.js";

const WORKER = "/field/worker.js";

export async function keepAtHand() {
  if (!("serviceWorker" in navigator)) return;
  const { serviceWorker } = navigator;
  let followed = Boolean(serviceWorker.controller), renewed = false;
  serviceWorker.addEventListener("controllerchange", () => {
    renewed = followed;
    followed = true;  // the first worker keeps the very files that this page runs
  });
  watchBoxes(document);
  const registration = await serviceWorker.register(WORKER, { scope: "/field", updateViaCache: "none" });
  addEventListener("hashchange", () => {
    if (holdsAnything()) return;
    if (renewed) location.reload();
    else offerNew(registration);
  });
  document.addEventListener("visibilitychange", () => look(registration));
  if (!holdsAnything()) offerNew(registration);
  await navigator.storage?.persist?.();  // asks the system not to clear what is kept; a person may leave it unanswered
}

function offerNew(registration) {
  registration.waiting?.postMessage("take over");
}

async function look(registration) {
  await registration.update().catch(() => {});  // without a network there is nothing new
}
