// What this phone has not sent yet, in its own database. Nothing leaves it until the server has answered for it.
const FORMAT = "ampwright-unsent-1";

const opened = new Promise((resolve, reject) => {
  const asked = indexedDB.open("ampwright-unsent", 1);
  asked.onupgradeneeded = () => { asked.result.createObjectStore("unsent", { keyPath: "operation" }); };
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});

// One transaction; it is over, and on the disk of the phone, when the promise is kept.
const transaction = async (mode, work) => {
  const base = await opened;
  return new Promise((resolve, reject) => {
    const deal = base.transaction("unsent", mode, { durability: "strict" });
    const asked = work(deal.objectStore("unsent"));
    deal.oncomplete = () => resolve(asked?.result);
    deal.onabort = deal.onerror = () => reject(deal.error);
  });
};

export const operationId = () =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((each) => each.toString(16).padStart(2, "0")).join("");

export const all = async () =>
  (await transaction("readonly", (unsent) => unsent.getAll())).sort((one, other) => one.at.localeCompare(other.at));

export const put = (...entries) => transaction("readwrite", (unsent) => { entries.forEach((each) => unsent.put(each)); });

// A form that is saved again before it was sent takes the place of what it said before, in the same transaction.
export const replace = (old, entry) => transaction("readwrite", (unsent) => {
  if (old) unsent.delete(old.operation);
  unsent.put(entry);
});

// What the server would not take stays, with its reason, unless it was replaced meanwhile.
export const refuse = (operation, says) => transaction("readwrite", (unsent) => {
  const asked = unsent.get(operation);
  asked.onsuccess = () => { if (asked.result) unsent.put({ ...asked.result, refused: says }); };
});

export const drop = (...operations) => transaction("readwrite", (unsent) => { operations.forEach((each) => unsent.delete(each)); });

const toText = (buffer) => {
  const bytes = new Uint8Array(buffer);
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
};

export const asFile = (entries) => {
  const told = entries.map((each) => (each.photo ? { ...each, photo: toText(each.photo) } : each));
  return new Blob([JSON.stringify({ format: FORMAT, entries: told })], { type: "application/json" });
};

const isText = (value) => typeof value === "string";
const isEntry = (each) => each && /^[0-9a-zA-Z-]{8,60}$/.test(each.operation) && isText(each.title) && isText(each.at) && isText(each.by)
  && /^\/jobs\/[0-9a-f]{1,32}\/(part\/[a-z-]+|photos|sheet|sensors|sketch\/[a-z_]+\/[a-z0-9_]{1,20})$/.test(each.address) && Array.isArray(each.fields)
  && each.fields.every((pair) => Array.isArray(pair) && pair.length === 2 && pair.every(isText))
  && (each.adds === undefined || isText(each.adds)) && (each.photo === undefined || isText(each.photo));

// The entries of a file that one person made, all or none of them; throws in words where it is no such file.
export const fromFile = async (file, by) => {
  let told;
  try {
    told = JSON.parse(await file.text());
  } catch {
    throw new Error("This is not a file of unsent work, or it is cut short. Nothing was taken in.");
  }
  if (told?.format !== FORMAT || !Array.isArray(told.entries) || !told.entries.every(isEntry)) {
    throw new Error("This is not a file of unsent work that this Ampwright can read. Nothing was taken in.");
  }
  if (told.entries.some((each) => each.by !== by)) {
    throw new Error("Somebody else made what is in this file. Who made it signs in and takes it in. Nothing was taken in.");
  }
  try {
    return told.entries.map(({ operation, address, title, at, fields, photo, name, adds }) => ({
      operation, address, title, at, by, fields, name: String(name ?? "photo.jpg"), ...(adds === undefined ? {} : { adds }),
      ...(photo === undefined ? {} : { photo: Uint8Array.from(atob(photo), (each) => each.charCodeAt(0)).buffer }),
    }));
  } catch {
    throw new Error("A photo in this file is broken. Nothing was taken in.");
  }
};
