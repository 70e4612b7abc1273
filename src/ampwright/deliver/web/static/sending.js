// Sends what is unsent, one after the other, oldest first. A repeat is harmless: each has the id it was given here.
import * as outbox from "./outbox.js";

const PATIENCE_MS = 20000;
const job = (entry) => entry.address.split("/")[2];

// Hidden fields that belong to whoever is signed in now and not to the form as it was kept.
const fresh = async () => {
  const answer = await fetch("/unsent", { cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) });
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  return [...page.querySelectorAll("form[data-fresh] input[type=hidden]")].map((each) => [each.name, each.value]);
};

const body = (entry, now) => {
  const renewed = new Set(now.map(([name]) => name));
  const fields = [...entry.fields.filter(([name]) => !renewed.has(name)), ...now, ["operation", entry.operation]];
  if (!entry.photo) return new URLSearchParams(fields);
  const form = new FormData();
  for (const [name, value] of fields) form.append(name, value);
  form.append("photo", new Blob([entry.photo]), entry.name);
  return form;
};

// What the server said to one entry: sent (with the page that says what it changed), refused (with why), or no answer.
const sendOne = async (entry, now) => {
  let answer, page;
  try {
    answer = await fetch(entry.address, { method: "POST", body: body(entry, now), signal: AbortSignal.timeout(PATIENCE_MS) });
    page = new DOMParser().parseFromString(await answer.text(), "text/html");
  } catch {
    return { state: "waiting", says: "the server does not answer" };
  }
  const where = new URL(answer.url).pathname;
  if (answer.ok && answer.redirected && where.startsWith(`/jobs/${job(entry)}`)) {
    return { state: "sent", where, held: page.querySelector("[data-held]") !== null };
  }
  if (answer.status >= 500 || answer.status === 429) return { state: "waiting", says: "the server cannot take it just now" };
  if (answer.ok && answer.redirected) return { state: "waiting", says: "sign in first, then it is sent" };
  const told = [...page.querySelectorAll(".faults li, main ul li")].map((each) => each.textContent.trim());
  const says = told.length ? told.join("; ") : (page.querySelector("h1")?.textContent ?? page.body.textContent).trim();
  return { state: "refused", says: says.slice(0, 600) };
};

const everything = async (again) => {
  const done = { sent: [], held: [], refused: [], waiting: 0 };
  const entries = (await outbox.all()).filter((each) => again || !each.refused);
  if (!entries.length) return done;
  let now;
  try {
    now = await fresh();
  } catch {
    return { ...done, waiting: entries.length };
  }
  for (const entry of entries) {
    const result = await sendOne(entry, now);
    if (result.state === "waiting") return { ...done, waiting: entries.length - done.sent.length, says: result.says };
    if (result.state === "sent") {
      await outbox.drop(entry.operation);
      done.sent.push({ ...entry, where: result.where });
      if (result.held) done.held.push(job(entry));
    } else {
      await outbox.refuse(entry.operation, result.says);
      done.refused.push(entry);
    }
  }
  return done;
};

// One after the other, also from two open pages: what was entered while one was under way is in the next.
let last = Promise.resolve();
export const send = (again = false) => {
  const mine = () => everything(again);
  last = last.catch(() => {}).then(() => (navigator.locks ? navigator.locks.request("ampwright-sending", mine) : mine()));
  return last;
};
