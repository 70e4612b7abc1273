// Keeps the pages of jobs marked for today on this phone, and keeps them fresh.
import { cacheOf } from "./holder.js";

export const canKeep = () => window.isSecureContext && "serviceWorker" in navigator && "caches" in window;
export const kept = async () => (await caches.keys()).filter((each) => each.startsWith(cacheOf(""))).map((each) => each.slice(cacheOf("").length));
export const drop = (job) => caches.delete(cacheOf(job));

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
  const cache = await caches.open(cacheOf(job));
  await Promise.all(pages.map(([address, answer]) => cache.put(address, answer)));
};

const show = (box, isKept, says) => {
  box.querySelector("[data-keep-says]").textContent = says;
  box.querySelector("[data-keep-off]").hidden = !isKept;
  box.querySelector("[data-keep-on]").textContent = isKept ? "Fetch it again" : "Keep it on this phone";
};

export const watch = async (box) => {
  const job = box.dataset.keep;
  box.hidden = false;
  if (!canKeep()) {
    show(box, false, "this page cannot work without signal; “Unsent work” says how to mend it.");
    box.querySelector("[data-keep-on]").hidden = true;
    return;
  }
  const now = async () => {
    const isKept = (await kept()).includes(job);
    show(box, isKept, isKept ? "the pages of this job are on this phone, also without signal." : "not kept on this phone yet.");
  };
  box.querySelector("[data-keep-on]").addEventListener("click", async () => {
    show(box, (await kept()).includes(job), "fetching…");
    try {
      await keep(job);
      await now();
    } catch {
      show(box, (await kept()).includes(job), "the server does not answer, so nothing was fetched. Try again with signal.");
    }
  });
  box.querySelector("[data-keep-off]").addEventListener("click", async () => { await drop(job); await now(); });
  await now();
};
