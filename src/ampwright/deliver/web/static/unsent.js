// The page of unsent work: what waits, what was refused and why, and the way to a file and back.
import * as outbox from "./outbox.js";
import { counted, holder, mine, settled } from "./holder.js";

const page = document.querySelector("[data-unsent-list]");

const row = (entry, again) => {
  const item = document.createElement("li");
  const what = document.createElement("a");
  what.href = entry.address;
  what.className = "row";
  what.textContent = `${entry.photo ? "Photo · " : ""}${entry.title.replace(/ · Ampwright$/, "")}`;
  const when = document.createElement("span");
  when.className = "hint";
  when.textContent = new Date(entry.at).toLocaleString("en-GB");
  item.append(what, when);
  if (entry.refused) {
    const why = document.createElement("p");
    why.className = "fault";
    why.textContent = `Not taken: ${entry.refused}`;
    const away = document.createElement("button");
    away.textContent = "Throw it away";
    away.addEventListener("click", async () => {
      if (!confirm("Throw this entry away? It is on this phone alone.")) return;
      await outbox.drop(entry.operation);
      await again();
    });
    item.append(why, away);
  }
  return item;
};

// Gives the person their unsent work as a file; which operations are in it.
export const saveFile = async () => {
  const entries = mine(await outbox.all());
  const link = document.createElement("a");
  link.href = URL.createObjectURL(outbox.asFile(entries));
  link.download = `ampwright-unsent-${new Date().toISOString().slice(0, 10)}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  return entries.map((each) => each.operation);
};

export const listen = (again) => {
  if (!page) return;
  document.querySelector("[data-insecure]").hidden = window.isSecureContext;
  document.querySelector("[data-send]").addEventListener("click", () => again(true));
  document.querySelector("[data-save-file]").addEventListener("click", saveFile);
  const box = document.querySelector("#unsent-file");
  box.addEventListener("change", async () => {
    const fault = document.querySelector("[data-file-fault]");
    fault.textContent = "";
    try {
      await settled();
      await outbox.put(...await outbox.fromFile(box.files[0], holder()));
      await again();
    } catch (wrong) {
      fault.textContent = wrong.message;
    }
    box.value = "";
  });
};

export const list = (entries, others, again) => {
  if (!page) return;
  page.replaceChildren(...entries.map((each) => row(each, again)));
  document.querySelector("[data-unsent-none]").hidden = entries.length > 0;
  document.querySelector("[data-unsent-others]").hidden = others === 0;
  document.querySelector("[data-others-count]").textContent = counted(others);
  document.querySelector("[data-save-file]").hidden = entries.length === 0;
};
