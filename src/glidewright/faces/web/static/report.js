// A report that is still computed: follow how far it is, show it when it is there, stop it when asked.
import { say, tell } from "./ask.js";

let source = null;

/** Follow the job that an element names, if it names one. */
export function followReport(place) {
  source?.close();
  source = null;
  const key = place?.dataset.job;
  if (!key) return;
  source = new EventSource(`/jobs/${key}/events`);
  source.addEventListener("message", (event) => tellState(place, key, JSON.parse(event.data)));
  place.querySelector(".stop")?.addEventListener("click", (event) => {
    event.currentTarget.disabled = true;
    event.currentTarget.textContent = "Stopping";
    tell(`/jobs/${key}/stop`, {});
  });
}

async function tellState(place, key, state) {
  const isOver = !["waiting", "running"].includes(state.state);
  if (!isOver) {
    const words = place.querySelector(".words");
    if (words && state.words) words.textContent = state.words;
    const bar = place.querySelector("progress");
    if (bar && state.share !== null) bar.value = state.share;
    else bar?.removeAttribute("value");
    return;
  }
  source?.close();
  const answer = await fetch(`/jobs/${key}/report`, { headers: { accept: "text/html" } });
  const text = await answer.text();
  if (place.dataset.job !== key) return; // something newer was asked meanwhile
  place.innerHTML = text;
  delete place.dataset.job;
  say(state.state === "done" ? "The report is there." : "", true);
  place.dispatchEvent(new CustomEvent("report", { bubbles: true }));
}

/** Ask for the report at an address again and show it in place; what stands there stays until then. */
export async function renew(place, address) {
  const answer = await fetch(address, { headers: { accept: "text/html" } });
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("#report");
  if (!fresh) return;
  place.innerHTML = fresh.innerHTML;
  if (fresh.dataset.job) place.dataset.job = fresh.dataset.job;
  else delete place.dataset.job;
  followReport(place);
}
