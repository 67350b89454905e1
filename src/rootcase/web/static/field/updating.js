// The pages without a network, and how a new state of them takes over: between two screens, while no form holds anything.

const WORKER = "/field/worker.js";

export async function keepAtHand(book) {
  if (!("serviceWorker" in navigator)) return;
  const { serviceWorker } = navigator;
  let followed = Boolean(serviceWorker.controller);
  serviceWorker.addEventListener("controllerchange", () => {
    if (followed) location.reload();
    followed = true;  // the first worker keeps the very files that this page runs
  });
  const registration = await serviceWorker.register(WORKER, { scope: "/field", updateViaCache: "none" });
  const offer = () => offerNew(registration, book);
  addEventListener("hashchange", offer);
  document.addEventListener("visibilitychange", () => look(registration).then(offer));
  await offer();
  await navigator.storage?.persist?.();  // asks the system not to clear what is kept; a person may leave it unanswered
}

async function offerNew(registration, book) {
  if (registration.waiting && !await book.half.any()) registration.waiting.postMessage("take over");
}

async function look(registration) {
  await registration.update().catch(() => {});  // without a network there is nothing new
}
