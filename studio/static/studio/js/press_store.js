// Where presses wait: a database on the device for each person, whose rows are encrypted (AES-GCM) with
// the key that only that person's page carries. What the device does not take (plain http gives no
// cryptography, a full disk no room) waits in memory, and `safe` is false.

const ROWS = "presses";

export async function openStore(user, key) {
  const store = new PressStore(`presses-${user}`);
  try {
    store.key = await crypto.subtle.importKey("raw", bytesOf(key), "AES-GCM", false, [
      "encrypt",
      "decrypt",
    ]);
    await store.all();
    store.safe = true;
  } catch {
    store.key = null;
  }
  return store;
}

class PressStore {
  safe = false;
  key = null;
  inMemory = [];

  constructor(name) {
    this.name = name;
  }

  // In the order in which they were added: {id, ...entry}, or {id, unreadable: true} for what was
  // encrypted with another key.
  async all() {
    if (!this.key) return [...this.inMemory];
    const rows = await this.#rows("readonly", (rows) => rows.getAll());
    return [...(await Promise.all(rows.map((row) => this.#decrypted(row)))), ...this.inMemory];
  }

  async add(entry) {
    if (this.key && !this.inMemory.length) {
      try {
        const row = await this.#encrypted(entry);
        await this.#rows("readwrite", (rows) => rows.add(row));
        return;
      } catch {
        this.safe = false;
      }
    }
    this.inMemory.push({ id: `memory-${entry.press.number}`, ...entry });
  }

  async replace({ id, ...entry }) {
    const here = this.inMemory.findIndex((row) => row.id === id);
    if (here >= 0) this.inMemory[here] = { id, ...entry };
    else {
      const row = { id, ...(await this.#encrypted(entry)) };
      await this.#rows("readwrite", (rows) => rows.put(row));
    }
  }

  async remove({ id }) {
    const here = this.inMemory.findIndex((row) => row.id === id);
    if (here >= 0) this.inMemory.splice(here, 1);
    else await this.#rows("readwrite", (rows) => rows.delete(id));
  }

  async #encrypted(entry) {
    const iv = crypto.getRandomValues(new Uint8Array(12));
    const plain = new TextEncoder().encode(JSON.stringify(entry));
    return { iv, data: await crypto.subtle.encrypt({ name: "AES-GCM", iv }, this.key, plain) };
  }

  async #decrypted({ id, iv, data }) {
    try {
      const plain = await crypto.subtle.decrypt({ name: "AES-GCM", iv }, this.key, data);
      return { id, ...JSON.parse(new TextDecoder().decode(plain)) };
    } catch {
      return { id, unreadable: true };
    }
  }

  // Opened anew each time, since a browser may close it while the page sleeps. What is written is on
  // the disk when this is done.
  async #rows(mode, ask) {
    const opening = indexedDB.open(this.name, 1);
    opening.onupgradeneeded = () =>
      opening.result.createObjectStore(ROWS, { keyPath: "id", autoIncrement: true });
    const database = await new Promise((opened, failed) => {
      opening.onsuccess = () => opened(opening.result);
      opening.onerror = () => failed(opening.error);
    });
    try {
      return await new Promise((done, failed) => {
        const transaction = database.transaction(ROWS, mode, { durability: "strict" });
        const asked = ask(transaction.objectStore(ROWS));
        transaction.oncomplete = () => done(asked.result);
        transaction.onabort = () => failed(transaction.error);
      });
    } finally {
      database.close();
    }
  }
}

function bytesOf(base64) {
  return Uint8Array.from(atob(base64), (sign) => sign.charCodeAt(0));
}
