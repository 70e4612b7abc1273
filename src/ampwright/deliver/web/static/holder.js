// Whose this phone is just now, and what leaves it when it is somebody else's.
const HOLDER = "ampwright-person";
const STALE = "ampwright-stale";
const PREFIX = "job-";
const PATIENCE_MS = 20000;
const told = document.documentElement.dataset.person; // A page that is the same for everybody does not say it.
let current = told ?? localStorage.getItem(HOLDER) ?? "";

export const holder = () => current;
export const mine = (entries) => entries.filter((each) => each.by === current);
export const counted = (count) => `${count} ${count === 1 ? "entry" : "entries"}`;
export const cacheOf = (job) => `${PREFIX}${current}-${job}`;

// Who is signed in at the server, and the token that their forms bring; throws where the server does not answer.
export const asked = async () => {
  const answer = await fetch("/who", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) });
  if (!answer.ok) throw new Error(`the server answers ${answer.status}`);
  return answer.json();
};

export const stale = () => JSON.parse(localStorage.getItem(STALE) ?? "[]");
export const setStale = (jobs) => localStorage.setItem(STALE, JSON.stringify([...new Set(jobs)]));

// From here on the phone is this person's: pages that anybody else kept are gone. Unsent work stays for who made it.
const settle = async (person) => {
  current = person;
  if (localStorage.getItem(HOLDER) !== person) {
    localStorage.removeItem(STALE);
    localStorage.setItem(HOLDER, person);
  }
  if (!("caches" in window)) return;
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && !(person && name.startsWith(cacheOf("")))) await caches.delete(name);
  }
};

export const nobody = () => settle("");

// A page that does not say whose it is asks the server; without an answer the phone is whose it was.
const toldOrAsked = async () => {
  if (told !== undefined) return settle(told);
  try {
    await settle((await asked()).person);
  } catch {
    console.info("The server does not answer; this phone stays with whom it was.");
  }
};

let underWay;
export const settled = () => (underWay ??= toldOrAsked());

// Where somebody else signs in or out on another page, this one must not go on showing what it shows.
window.addEventListener("storage", (event) => {
  if (event.key === HOLDER && told !== undefined && event.newValue !== told) location.reload();
});
