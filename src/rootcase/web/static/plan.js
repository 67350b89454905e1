// Turned wishes are tried at once: the server makes the plan again and says what each bars and costs. Nothing is kept.

const PAUSE_MS = 350;

const form = document.getElementById("wishes");
const live = document.getElementById("live");
let asked = null;
let waiting = 0;

async function make() {
  asked?.abort();
  const mine = (asked = new AbortController());
  const wishes = new URLSearchParams(new FormData(form));
  live.textContent = form.dataset.making;
  document.querySelector("[data-part=made]").setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(`${form.dataset.made}?${wishes}`, { signal: mine.signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const part of page.querySelectorAll("[data-part]")) {
      document.querySelector(`[data-part="${CSS.escape(part.dataset.part)}"]`)?.replaceWith(part);
    }
    live.textContent = page.getElementById("finding")?.textContent ?? "";
    history.replaceState(null, "", `${form.getAttribute("action")}?${wishes}`);
  } catch (error) {
    if (error.name !== "AbortError") form.submit();
  }
}

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(make, PAUSE_MS);
});
