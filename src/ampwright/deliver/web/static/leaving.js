// Signing out takes what this person kept off the phone, and never what was not sent and not saved to a file.
import * as outbox from "./outbox.js";
import { asked, counted, mine, nobody } from "./holder.js";
import { saveFile } from "./unsent.js";

const offer = document.querySelector("[data-leaving]");
const said = document.querySelector("[data-leaving-says]");
const go = document.querySelector("[data-leaving-go]");
let leaving; // the form that was sent
let saved = []; // what the file has

const left = async () => mine(await outbox.all());
const inFile = (entries) => entries.every((each) => saved.includes(each.operation));

const leave = async (form, again) => {
  said.textContent = "Sending what is unsent…";
  let who;
  try {
    who = await asked();
  } catch {
    said.textContent = "The server does not answer, so nobody can be signed out now. Nothing left this phone.";
    return;
  }
  await again(true);
  const entries = await left();
  said.textContent = "";
  offer.hidden = entries.length === 0;
  if (!inFile(entries)) {
    leaving = form;
    go.hidden = true;
    offer.querySelector("[data-leaving-count]").textContent = `${counted(entries.length)}`;
    offer.querySelector("[data-leaving-save]").focus();
    return;
  }
  await outbox.drop(...entries.map((each) => each.operation));
  await nobody();
  form.elements.namedItem("form-token").value = who.token;
  form.submit();
};

export const watchLeaving = (again) => {
  for (const form of document.querySelectorAll("form[data-leaves]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      saved = [];
      leave(form, again);
    });
  }
  offer?.querySelector("[data-leaving-save]").addEventListener("click", async () => {
    saved = await saveFile();
    go.hidden = false;
  });
  go?.addEventListener("click", () => leave(leaving, again));
};
