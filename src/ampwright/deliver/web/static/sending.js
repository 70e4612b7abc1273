// Sends what is unsent of who is signed in, one after the other, oldest first. A repeat is harmless: each has the id it was given here.
import * as outbox from "./outbox.js";
import { asked } from "./holder.js";

const PATIENCE_MS = 20000;
export const SIGN_IN = "Sign in first, then it is sent.";
const WHY = [".faults[role=alert] li", "main > ul > li"]; // of a form that is shown again, of a page that says what is wrong
const job = (entry) => entry.address.split("/")[2];

const body = (entry) => {
  const fields = [...entry.fields, ["operation", entry.operation]];
  if (!entry.photo) return new URLSearchParams(fields);
  const form = new FormData();
  for (const [name, value] of fields) form.append(name, value);
  form.append("photo", new Blob([entry.photo]), entry.name);
  return form;
};

// What the server said to one entry: sent (with the page that says what it changed), refused (with why), or no answer.
const sendOne = async (entry, who) => {
  let answer, page;
  try {
    answer = await fetch(entry.address, { method: "POST", body: body(entry), headers: { "X-Form-Token": who.token }, signal: AbortSignal.timeout(PATIENCE_MS) });
    page = new DOMParser().parseFromString(await answer.text(), "text/html");
  } catch {
    return { state: "waiting", says: "The server does not answer; it waits." };
  }
  const { pathname, search } = new URL(answer.url);
  if (answer.ok && answer.redirected && pathname.startsWith(`/jobs/${job(entry)}`)) {
    return { state: "sent", where: pathname + search, held: page.querySelector("[data-held]") !== null };
  }
  if (answer.status >= 500 || answer.status === 429) return { state: "waiting", says: "The server cannot take it just now; it waits." };
  if (answer.status === 401 || (answer.ok && answer.redirected)) return { state: "waiting", says: SIGN_IN };
  const told = WHY.map((each) => [...page.querySelectorAll(each)]).find((each) => each.length)?.map((each) => each.textContent.trim());
  const says = told ? told.join("; ") : (page.querySelector("h1")?.textContent ?? page.body.textContent).trim();
  return { state: "refused", status: answer.status, says: says.slice(0, 600) };
};

// The token is that of the session that answers now; where another began meanwhile, it is asked for once more.
const sendAs = async (entry, who) => {
  const result = await sendOne(entry, who);
  if (result.status !== 403) return [result, who];
  let now;
  try {
    now = await asked();
  } catch {
    return [{ state: "waiting" }, who];
  }
  if (now.person !== entry.by) return [{ state: "waiting", says: SIGN_IN }, now];
  return [now.token === who.token ? result : await sendOne(entry, now), now];
};

const everything = async (again) => {
  const done = { sent: [], held: [], refused: [], waiting: 0 };
  const entries = (await outbox.all()).filter((each) => again || !each.refused);
  if (!entries.length) return done;
  let who;
  try {
    who = await asked();
  } catch {
    return { ...done, waiting: entries.length };
  }
  const theirs = entries.filter((each) => each.by === who.person);
  if (!who.person) return { ...done, waiting: entries.length, says: SIGN_IN };
  for (const entry of theirs) {
    let result;
    [result, who] = await sendAs(entry, who);
    if (result.state === "waiting") return { ...done, waiting: theirs.length - done.sent.length, says: result.says };
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
