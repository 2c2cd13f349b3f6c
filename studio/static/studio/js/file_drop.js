// WAV files that are chosen or dropped, alone or in folders: only the chunks of their headers are sent,
// as `sessions/takes/files/chunks.py` keeps them, so that nobody uploads gigabytes of sound for that.
const ENDING = /\.(wav|wave|bwf|rf64|bw64)$/i;
const KINDS = ["RIFF", "RF64", "BW64"];
const KEPT = ["ds64", "fmt ", "bext", "iXML"];
const LONGEST_BYTES = 2 ** 20; // of one chunk
const MOST_CHUNKS = 4096;
const MOST_FILES = 500;
const UNSTATED = 0xffffffff;
const NAME = /^[ -~]{4}$/;

const form = document.querySelector("[data-file-drop]");
const status = form.querySelector("[data-status]");

async function bytesOf(file, start, length) {
  return new DataView(await file.slice(start, start + length).arrayBuffer());
}

function textOf(view, start) {
  return String.fromCharCode(...[0, 1, 2, 3].map((place) => view.getUint8(start + place)));
}

async function headOf(file, position) {
  const view = await bytesOf(file, position, 8);
  if (view.byteLength < 8 || !NAME.test(textOf(view, 0))) return null;
  return { name: textOf(view, 0), start: position + 8, length: view.getUint32(4, true), view };
}

// The kept chunks behind the first twelve bytes, and how many bytes of sound the file says it has.
async function headerOf(file) {
  const first = await bytesOf(file, 0, 12);
  const isWave = first.byteLength === 12 && KINDS.includes(textOf(first, 0)) && textOf(first, 8) === "WAVE";
  if (!isWave) return { header: new Blob([]), sound: null };
  const pieces = [first];
  const seen = new Set();
  let sound = null;
  let longSound = 0;
  let position = 12;
  for (let count = 0; count < MOST_CHUNKS && position < file.size; count += 1) {
    // Some writers forget the byte that pads an odd length.
    const chunk = (await headOf(file, position)) ?? (await headOf(file, position - 1));
    if (!chunk) break;
    let { name, start, length } = chunk;
    if (name === "ds64") {
      const sizes = await bytesOf(file, start + 8, 8);
      if (sizes.byteLength === 8) longSound = Number(sizes.getBigUint64(0, true));
    }
    if (name === "data" && length === UNSTATED && longSound) length = longSound;
    if (name === "data" && !seen.has(name)) sound = length === UNSTATED ? null : length;
    if (KEPT.includes(name) && !seen.has(name)) {
      const kept = file.slice(start, start + Math.min(length, LONGEST_BYTES + 1));
      pieces.push(chunk.view, kept, new Uint8Array(kept.size % 2));
    }
    seen.add(name);
    position = start + length + (length % 2);
  }
  return { header: new Blob(pieces), sound: Number.isSafeInteger(sound) ? sound : null };
}

// All files of what was dropped, with their paths in it.
async function filesIn(entry) {
  if (entry.isFile) {
    const file = await new Promise((found, failed) => entry.file(found, failed));
    return [{ path: entry.fullPath.replace(/^\//, ""), file }];
  }
  const reader = entry.createReader();
  const found = [];
  for (;;) {
    const entries = await new Promise((read, failed) => reader.readEntries(read, failed));
    if (!entries.length) return found;
    for (const each of entries) found.push(...(await filesIn(each)));
  }
}

function chosen(list) {
  return [...list].map((file) => ({ path: file.webkitRelativePath || file.name, file }));
}

function put(name, file) {
  const data = new DataTransfer();
  if (file) data.items.add(file);
  form.elements.namedItem(name).files = data.files;
}

async function send(all) {
  const files = all.filter(({ path }) => ENDING.test(path)).slice(0, MOST_FILES);
  if (!files.length) {
    status.textContent = "There are no WAV files among them.";
    return;
  }
  status.textContent = `Reading the headers of ${files.length} files …`;
  const listed = [];
  const headers = [];
  const unread = [];
  for (const { path, file } of files) {
    try {
      const { header, sound } = await headerOf(file);
      listed.push([path, file.size, header.size, sound]);
      headers.push(header);
    } catch {
      unread.push(path);
    }
  }
  const more = all.filter(({ path }) => ENDING.test(path)).length - files.length;
  if (more || unread.length) {
    const left = [more ? `${more} more than ${MOST_FILES} files` : "", ...unread].filter(Boolean);
    if (!window.confirm(`These can’t be read now: ${left.join(", ")}. Add the others?`)) {
      status.textContent = "";
      return;
    }
  }
  form.elements.namedItem("listed").value = JSON.stringify(listed);
  put("headers", new File(headers, "headers"));
  put("files", null);
  form.requestSubmit();
}

async function drop(event) {
  event.preventDefault();
  form.classList.remove("over");
  const entries = [...event.dataTransfer.items].map((item) => item.webkitGetAsEntry?.()).filter(Boolean);
  const flat = chosen(event.dataTransfer.files);
  const found = [];
  try {
    for (const entry of entries) found.push(...(await filesIn(entry)));
  } catch {
    status.textContent = "The folder could not be read: choose it with the button.";
    return;
  }
  await send(entries.length ? found : flat);
}

for (const part of form.querySelectorAll("[data-script]")) part.hidden = false;
for (const part of form.querySelectorAll("[data-no-script]")) part.hidden = true;
form.addEventListener("change", (event) => {
  if (event.target.type === "file" && event.target.files.length) send(chosen(event.target.files));
});
form.addEventListener("dragover", (event) => {
  event.preventDefault();
  form.classList.add("over");
});
form.addEventListener("dragleave", () => form.classList.remove("over"));
form.addEventListener("drop", drop);
