// Keeps the bar and the words of work in hand up to date; when it has ended the page shows what came of it.

const EVERY_MS = 500;

async function ended(part) {
  const answer = await fetch(`/api/jobs/${part.dataset.job}`);
  if (!answer.ok) return false;
  const job = await answer.json();
  if (job.state !== "waiting" && job.state !== "running") return true;
  const bar = part.querySelector("progress");
  bar.max = job.of || 1;
  if (job.of) bar.value = job.done;
  const words = part.querySelector("[data-words]");
  if (words.textContent !== job.told) words.textContent = job.told;
  return false;
}

async function watch(part) {
  try {
    if (await ended(part)) return location.reload();
  } catch {
    // The app is away for a moment: ask again.
  }
  setTimeout(watch, EVERY_MS, part);
}

for (const part of document.querySelectorAll("[data-job]")) watch(part);
