// The outbox on every page: its count, the forms that go through it, and the page that lists it.
import * as outbox from "./outbox.js";
import { SIGN_IN, send } from "./sending.js";
import { shrunk } from "./shrink.js";
import { canKeep, keep, kept, watch } from "./keeping.js";
import { list, listen } from "./unsent.js";
import { asked, holder, mine, setStale, settled, stale } from "./holder.js";
import { watchLeaving } from "./leaving.js";
import { watchWaiting } from "./waiting.js";

const EVERY_MS = 20000;
const NOT_OF_THE_ENTRY = ["operation", "form-token"]; // they are of the moment when it is sent
const KEPT = "kept on this phone, not sent yet";
const NOT_TAKEN = "Not taken, and kept on this phone:";
const bar = document.querySelector("[data-unsent-bar]");
const link = bar.querySelector("[data-unsent-count]");
const says = bar.querySelector("[data-unsent-says]");
const heard = (text, address = "", words = "") => {
  says.textContent = text;
  says.removeAttribute("data-refused");
  if (address) {
    const further = document.createElement("a");
    further.href = address;
    further.textContent = words;
    says.append(" ", further);
  }
};

const count = async () => {
  const everything = await outbox.all();
  const entries = mine(everything);
  const others = everything.length - entries.length;
  const refused = entries.filter((each) => each.refused).length;
  const yours = entries.length ? `${entries.length} unsent${refused ? `, ${refused} not taken` : ""}` : "Nothing unsent";
  const waits = holder() ? `${entries.length ? yours : "Nothing of yours unsent"}, ${others} of somebody else` : `${others} unsent, until you sign in`;
  link.textContent = others ? waits : yours;
  bar.classList.toggle("waiting", everything.length > 0);
  list(entries, others, again);
  return refused;
};

// What the server would not take is said again on every page, until it is put right or thrown away.
const saysRefused = (refused) => {
  if (refused) heard(`${refused} could not be taken:`, "/unsent", "see why");
  else if (says.hasAttribute("data-refused")) heard("");
  says.toggleAttribute("data-refused", refused > 0);
};

const tell = (done, refused) => {
  const last = done.sent.at(-1);
  if (done.refused.length) saysRefused(refused);
  else if (done.held.length) heard("Sent. The same was changed in two places:", `/jobs/${done.held[0]}`, "decide");
  else if (last) heard(`${done.sent.length} sent.`, last.where, "What it changed");
  else if (done.says === SIGN_IN && location.pathname !== "/sign-in") {
    heard(SIGN_IN, `/sign-in?next=${encodeURIComponent(location.pathname)}`, "Sign in");
  } else if (done.waiting) heard(done.says ?? "Waiting for the server.");
  else saysRefused(refused);
};

// The kept pages of a job are older than what was sent of it until they are fetched again, here or on a later page.
const refreshed = async () => {
  if (!canKeep()) return;
  const here = await kept();
  for (const job of stale()) {
    if (here.includes(job)) await keep(job);
    setStale(stale().filter((each) => each !== job));
  }
};

const again = async (refusedToo = false) => {
  const done = await send(refusedToo);
  setStale([...stale(), ...done.sent.map((each) => each.address.split("/")[2])]);
  tell(done, await count());
  refreshed().catch(() => { console.info("The kept pages are older; they are fetched again when the server answers."); });
  return done;
};

// A page whose form was sent while it stood open is older than what it sent; it is loaded anew, if nothing is typed on it.
const later = async () => {
  const sent = (await again()).sent.filter((each) => !each.photo).map((each) => each.address);
  const older = [...document.querySelectorAll("form[data-watched]")].some((form) => sent.includes(new URL(form.action).pathname));
  const chosen = [...document.querySelectorAll("form[data-photos] [type=file]")].some((each) => each.files.length);
  if (older && !chosen && !document.querySelector("[data-typed-in]")) location.reload();
};

const waits = async (operations) => (await outbox.all()).filter((each) => operations.includes(each.operation)).length;

// What a form said before and what it says now are one entry, until it is sent. A form that adds to a list says one more
// each time; only what the server would not take is typed anew.
const unsentOf = async (form) => {
  const address = new URL(form.action).pathname;
  const here = mine(await outbox.all()).filter((each) => each.address === address && !each.photo);
  return here.findLast((each) => !form.dataset.adds || each.refused);
};
const waitingOf = async (form) => {
  const address = new URL(form.action).pathname;
  return mine(await outbox.all()).filter((each) => each.address === address && each.adds && !each.refused);
};

// A box is found by its name alone: what stands round it may bear the same as its id.
const boxOf = (form, name) => form.querySelector(`[name="${CSS.escape(name)}"]`);
const write = (form, name, value) => {
  for (const box of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
    if (box.type === "radio") box.checked = box.value === value;
    else box.value = value;
  }
};

// What was kept of this form and not sent yet is put back into its boxes, with why it was not taken.
const fillIn = (form, entry, touched) => {
  const places = [entry.adds, form.dataset.adds]; // the next place of a list may be another since
  const named = entry.adds ? entry.fields.filter(([each]) => each !== "base").map(([each, value]) => [each.replace(...places), value]) : entry.fields;
  for (const [name, value] of named.filter(([each]) => !touched.has(each))) {
    if (!NOT_OF_THE_ENTRY.includes(name)) write(form, name, value);
    const question = boxOf(form, name) && form.querySelector(`details[id="${CSS.escape(name.split("~")[0])}"]`);
    if (question && entry.refused) question.open = true;
  }
  form.dispatchEvent(new CustomEvent("kept", { detail: entry.refused ? `${NOT_TAKEN} ${entry.refused}` : KEPT }));
};

const now = () => new Date().toLocaleTimeString("en-GB", { timeZone: "Europe/London", hour: "2-digit", minute: "2-digit" });

// A form that adds to a list is empty again for the next one, once this phone has what it said.
const forTheNext = async (form) => {
  const waiting = await waitingOf(form);
  if (!waiting.length) return;
  form.reset();
  for (const [name, value] of waiting.at(-1).fields.filter(([each]) => each.includes(".end."))) {
    write(form, name.replace(".end.", ".start."), value); // a wall begins where the last one ended
  }
  form.dispatchEvent(new CustomEvent("kept", { detail: `${waiting.length} ${KEPT}` }));
};

const survey = async (form) => {
  const touched = new Set();
  form.addEventListener("input", (event) => touched.add(event.target.name));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const clock = boxOf(form, form.dataset.clock ?? "");
    if (clock && clock.value === clock.defaultValue) clock.value = now();
    const operation = outbox.operationId();
    const entry = { operation, address: new URL(form.action).pathname, title: document.title, at: new Date().toISOString(), by: holder() };
    if (form.dataset.adds) entry.adds = form.dataset.adds;
    try {
      const old = await unsentOf(form);
      const further = (form.dataset.adds ? [] : old?.fields ?? []).filter(([name]) => !form.elements.namedItem(name));
      entry.fields = [...new FormData(form), ...further].filter(([name]) => !NOT_OF_THE_ENTRY.includes(name));
      await outbox.replace(old, entry);
    } catch (wrong) {
      form.submit(); // This browser keeps nothing, so the form goes the plain way.
      return;
    }
    const done = await again();
    const sent = done.sent.find((each) => each.operation === operation);
    if (sent) location.assign(sent.where);
    else if (done.refused.some((each) => each.operation === operation)) await handBack(form, entry);
    else if (await waits([operation]) && form.dataset.adds) await forTheNext(form);
    else if (await waits([operation])) form.dispatchEvent(new CustomEvent("kept", { detail: KEPT }));
    else location.reload(); // It was sent meanwhile, with what waited.
  });
  const before = await unsentOf(form);
  if (before) fillIn(form, before, touched);
  else if (form.dataset.adds && !touched.size) await forTheNext(form);
};

// What the server would not take is shown by its own page, with every fault beside its box; it stays here until it is.
const handBack = async (form, entry) => {
  const token = form.elements.namedItem("form-token");
  if (token) token.value = (await asked()).token;
  form.elements.namedItem("operation").value = entry.operation;
  form.submit();
};

const photos = (form) => {
  const said = form.querySelector("[data-photos-says]");
  document.addEventListener("toggle", ({ target }) => {
    const path = form.elements.namedItem("path");
    if (target.open && [...path.options].some((each) => each.value === target.id)) path.value = target.id;
  }, true);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const box = form.elements.namedItem("photo");
    const files = [...box.files];
    if (!files.length) {
      said.textContent = "Choose a photo first.";
      return;
    }
    const address = new URL(form.action).pathname;
    const fields = [...new FormData(form)].filter(([name, value]) => typeof value === "string" && !NOT_OF_THE_ENTRY.includes(name));
    const operations = files.map(() => outbox.operationId());
    try {
      for (const [number, file] of files.entries()) {
        said.textContent = `${number + 1} of ${files.length}…`;
        const at = new Date().toISOString();
        await outbox.put({ operation: operations[number], address, title: document.title, at, by: holder(), fields, ...await shrunk(file) });
        await count();
      }
    } catch (wrong) {
      said.textContent = "This phone has no room for all of them. Send what is unsent, then add the rest.";
      return;
    }
    box.value = "";
    await again();
    const left = await waits(operations);
    said.textContent = left ? "Kept on this phone until the server has taken them." : `${files.length} added; they are under “Photos”.`;
  });
};

const begin = async () => {
  listen(again);
  watchLeaving(again);
  watchWaiting();
  document.querySelectorAll("form[data-photos]").forEach(photos);
  try {
    await settled();
    await Promise.all([...document.querySelectorAll("form[data-watched]")].map(survey));
    await count();
  } catch (wrong) {
    heard("This browser keeps nothing, so nothing can be entered without signal.");
    link.textContent = "Nothing unsent";
    return;
  }
  document.querySelectorAll("[data-keep]").forEach(watch);
  if (!window.isSecureContext) heard("No work without signal from here:", "/unsent", "how to mend it");
  else if ("serviceWorker" in navigator && holder()) await navigator.serviceWorker.register("/sw.js");
  for (const place of document.querySelectorAll("[data-kept]")) {
    for (const job of await kept()) {
      const found = await caches.match(`/jobs/${job}`);
      const page = new DOMParser().parseFromString(await found.text(), "text/html");
      const further = Object.assign(document.createElement("a"), { href: `/jobs/${job}`, textContent: page.querySelector("h1").textContent });
      place.append(document.createElement("li"));
      place.lastChild.append(further);
    }
  }
  await later();
  window.addEventListener("online", later);
  setInterval(later, EVERY_MS);
};
begin();
