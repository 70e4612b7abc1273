// Keeps the pages of jobs marked for today on this phone, and keeps them fresh.
const PREFIX = "job-";

export const canKeep = () => window.isSecureContext && "serviceWorker" in navigator && "caches" in window;
export const kept = async () => (await caches.keys()).filter((each) => each.startsWith(PREFIX)).map((each) => each.slice(PREFIX.length));
export const drop = (job) => caches.delete(PREFIX + job);

// Every page of a job is fetched before the old copies go, so that a signal lost half-way leaves what there was.
export const keep = async (job) => {
  const told = await fetch(`/jobs/${job}/addresses`);
  if (!told.ok) throw new Error(`the server answers ${told.status}`);
  const pages = [];
  for (const address of ["/", ...await told.json()]) {
    const answer = await fetch(address);
    if (!answer.ok || answer.redirected) throw new Error(`${address} could not be fetched`);
    pages.push([address, answer]);
  }
  const cache = await caches.open(PREFIX + job);
  await Promise.all(pages.map(([address, answer]) => cache.put(address, answer)));
};

const show = (form, isKept, says) => {
  form.querySelector("[data-keep-says]").textContent = says;
  form.querySelector("[data-keep-off]").hidden = !isKept;
  form.querySelector("[data-keep-on]").textContent = isKept ? "Fetch it again" : "Keep it on this phone";
};

export const watch = async (form) => {
  const job = form.dataset.keep;
  form.hidden = false;
  if (!canKeep()) {
    show(form, false, "this page cannot work without signal; “Unsent work” says how to mend it.");
    form.querySelector("[data-keep-on]").hidden = true;
    return;
  }
  const now = async () => {
    const isKept = (await kept()).includes(job);
    show(form, isKept, isKept ? "the pages of this job are on this phone, also without signal." : "not kept on this phone yet.");
  };
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    show(form, (await kept()).includes(job), "fetching…");
    try {
      await keep(job);
      await now();
    } catch {
      show(form, (await kept()).includes(job), "the server does not answer, so nothing was fetched. Try again with signal.");
    }
  });
  form.querySelector("[data-keep-off]").addEventListener("click", async () => { await drop(job); await now(); });
  await now();
};
