// Turned wishes are tried at once: the server makes the plan again and says what each bars and costs. Nothing is kept.

const PAUSE_MS = 350;

const form = document.getElementById("wishes");
const live = document.getElementById("live");
let asked = null;
let waiting = 0;

const trees = () => document.querySelectorAll("[data-part=made] > details");
const called = (tree) => tree.querySelector("b").textContent;

async function make() {
  asked?.abort();
  const mine = (asked = new AbortController());
  const wishes = new URLSearchParams(new FormData(form));
  live.textContent = form.dataset.making;
  document.querySelector("[data-part=made]").setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(`${form.dataset.made}?${wishes}`, { signal: mine.signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const finding = page.getElementById("finding")?.textContent ?? "";
    const open = new Set([...trees()].filter((tree) => tree.open).map(called));
    for (const part of page.querySelectorAll("[data-part]")) {
      document.querySelector(`[data-part="${CSS.escape(part.dataset.part)}"]`)?.replaceWith(part);
    }
    for (const tree of trees()) tree.open = open.has(called(tree));
    live.textContent = finding;
    history.replaceState(null, "", `${form.getAttribute("action")}?${wishes}`);
  } catch (error) {
    if (error.name !== "AbortError") form.submit();
  }
}

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(make, PAUSE_MS);
});
