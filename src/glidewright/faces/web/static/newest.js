// One question in flight, and only the newest one is asked next: answers never come back in the wrong order.

/** ask(values) gives a promise; show(answer, values) is called for each answer; returns the function to call. */
export function newest(ask, show) {
  let waiting = null;
  let isBusy = false;
  const idle = [];
  async function next() {
    if (isBusy || waiting === null) return;
    const values = waiting;
    waiting = null;
    isBusy = true;
    try {
      show(await ask(values), values);
    } finally {
      isBusy = false;
      if (waiting !== null) next();
      else for (const done of idle.splice(0)) done();
    }
  }
  const send = (values) => { waiting = values; next(); };
  /** A promise that is kept when nothing is asked any more. */
  send.settled = () => (isBusy || waiting !== null ? new Promise((done) => idle.push(done)) : Promise.resolve());
  return send;
}

/** Numbers from the program; {ok: false, errors} when it refuses or does not answer. */
export async function numbers(address) {
  try {
    const answer = await fetch(address, { headers: { accept: "application/json" } });
    return await answer.json();
  } catch {
    return { ok: false, errors: [{ where: "", message: "The program does not answer. Is it still running?" }] };
  }
}

/** Put the figures of an answer into their places. */
export function showOutcome(root, rows) {
  for (const row of rows) {
    const place = root.querySelector(`.outcome [data-name="${CSS.escape(row.name)}"] dd`);
    if (place && place.innerHTML !== row.html) place.innerHTML = row.html;
  }
}

/** The sentence of what is wrong, beside what it is about; an empty one takes it away. */
export function showProblem(root, words) {
  const place = root.querySelector("#live-error");
  if (!place) return;
  place.hidden = !words;
  place.querySelector(".what").textContent = words;
}
