// The booking form: what is free then stands beside each choice, an alternative is used at one press, the
// end follows the start. Without this, its buttons send the form, which comes back changed.
const form = document.querySelector(".booking").closest("form");
const { starts_at: starts, ends_at: ends, new_project: newProject } = form.elements;
const typedLength = starts.closest("[data-hours]").dataset.hours;

const changed = (field) => field.dispatchEvent(new Event("change", { bubbles: true }));
// What stands in a field for a day and a time, as if it were UTC: only differences of it are used.
const millisecondsOf = (field) => Date.parse(`${field.value}Z`);
const write = (field, milliseconds) => {
  field.value = new Date(milliseconds).toISOString().slice(0, 16);
  field.dispatchEvent(new Event("input", { bubbles: true }));
};

let before = millisecondsOf(starts);
starts.addEventListener("change", () => {
  const now = millisecondsOf(starts);
  if (Number.isNaN(now)) return;
  if (!ends.value && typedLength) write(ends, now + typedLength * 3_600_000);
  else if (!Number.isNaN(before) && ends.value) write(ends, millisecondsOf(ends) + now - before);
  before = now;
});

// The answer says of each room, person and unit that is not free what it is then.
form.addEventListener("htmx:afterSettle", (event) => {
  const said = event.target.querySelector("[data-states]");
  if (!said) return;
  const states = JSON.parse(said.dataset.states);
  for (const [name, those] of Object.entries(states)) {
    const boxes = [...form.querySelectorAll(`input[name="${name}"]`)];
    for (const box of boxes) say(box, those[box.value], "timed" in said.dataset);
    boxes[0]?.closest("[data-picks]").dispatchEvent(new Event("picks:said"));
  }
  const status = form.querySelector("[data-said]");
  if (status.textContent !== said.dataset.says) status.textContent = said.dataset.says;
});

function say(box, found, timed) {
  const [state, words] = found ?? [timed ? "free" : "", ""];
  box.dataset.state = state;
  box.dataset.said = words;
  const shown = box.parentElement.querySelector(".pick-state") ?? document.createElement("span");
  shown.className = `pick-state ${state}`;
  shown.textContent = [state, words].filter(Boolean).join(": ");
  box.parentElement.append(shown);
}

// “Use this” changes the fields that it names; "+units" ticks more of them.
form.addEventListener("click", (event) => {
  const press = event.target.closest('button[name="take"]');
  if (!press) return;
  event.preventDefault();
  const taken = new URLSearchParams(press.value);
  for (const name of new Set(taken.keys())) fill(name, taken.getAll(name));
  before = millisecondsOf(starts);
  press.closest("aside").focus(); // the button goes with the answer: Tab leads on from here
});

function fill(name, values) {
  const field = form.elements[name.replace(/^\+/, "")];
  if (!field) return;
  const boxes = field instanceof RadioNodeList ? [...field] : [field];
  for (const box of boxes) {
    if (box.type === "checkbox" && box.value !== "on") {
      box.checked = values.includes(box.value) || (name.startsWith("+") && box.checked);
    } else if (box.type === "checkbox") box.checked = true;
    else if (box.type === "radio") box.checked = values.includes(box.value);
    else box.value = values[0];
    if (box.type !== "checkbox") box.dispatchEvent(new Event("input", { bubbles: true }));
  }
  changed(boxes[0]);
}

// A project that is not there yet: its name goes where new ones are named, and the client is asked next.
form.addEventListener("picks:new", ({ detail }) => {
  form.querySelector("[data-new-project]").open = true;
  newProject.value = detail;
  form.elements.client.focus();
});
form.elements.project.addEventListener("change", () => {
  if (form.elements.project.value) newProject.value = "";
});
