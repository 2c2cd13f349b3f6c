// The bar that stays in sight: which control is at hand and where it stands, the last change to undo,
// what is asked before it is saved, and each warning that came with a save, until it was seen.
const editor = document.querySelector("[data-editor]");
const [at, undo, undoWords, news, jump] = ["at", "undo", "undo-words", "news", "jump"].map((name) =>
  editor.querySelector(`[data-${name}]`),
);
const GRAVE = ":is([data-warnings], [data-setup-warnings]) .message:is(.danger, .warning)";
const changes = []; // fields, and what stood in them before
let known = new Set(graveOnes().keys()); // warnings that were there when somebody looked
let said = ""; // by the news, which are read aloud only when they change

function graveOnes() {
  return new Map([...editor.querySelectorAll(GRAVE)].map((each) => [each.textContent.trim(), each]));
}

function nameOf(input) {
  const label = input.closest(".control").querySelector("label").textContent;
  return `${input.closest("[data-stage]").dataset.tag} ${label}`;
}

function showAt(input) {
  const drawing = input.closest(".control").querySelector(".chosen");
  at.textContent = `${nameOf(input)}: ${drawing?.dataset.shows || input.value || "not logged"}`;
}

function showUndo() {
  undo.hidden = changes.length === 0;
  if (changes.length) undoWords.textContent = nameOf(changes.at(-1).input);
}

function showNews() {
  const grave = graveOnes();
  const unseen = new Map([...grave].filter(([text]) => !known.has(text)));
  known = new Set([...known].filter((text) => grave.has(text)));
  const asked = [...editor.querySelectorAll(".control [data-problem]:has(button)")];
  const toSay = [...asked.map((each) => each.textContent), ...unseen.keys()].join("\n");
  if (toSay === said) return;
  said = toSay;
  const seen = buttonOf(`Seen: ${unseen.size} new`, () => {
    known = new Set(grave.keys());
    showNews();
  });
  const warnings = [...unseen.values()].map((each) => each.cloneNode(true));
  news.replaceChildren(...asked.map(copyOf), ...(unseen.size ? [seen] : []), ...warnings);
}

// A question beside a control, asked here too: its buttons press those.
function copyOf(problem) {
  const copy = problem.cloneNode(true);
  const input = problem.closest(".control").querySelector("input, select, textarea");
  copy.prepend(Object.assign(document.createElement("strong"), { textContent: nameOf(input) }));
  const buttons = problem.querySelectorAll("button");
  copy.querySelectorAll("button").forEach((each, number) => {
    each.addEventListener("click", ({ detail }) => {
      buttons[number].dispatchEvent(new MouseEvent("click", { bubbles: true, detail }));
    });
  });
  return copy;
}

function buttonOf(textContent, press) {
  const button = Object.assign(document.createElement("button"), {
    type: "button",
    className: "button",
    textContent,
  });
  button.addEventListener("click", press);
  return button;
}

editor.addEventListener("saved", ({ detail }) => changes.push(detail));
editor.addEventListener("stands", () => {
  showUndo();
  showNews();
  const input = document.activeElement.closest?.(".control")?.querySelector("input, select, textarea");
  if (input && editor.contains(input)) showAt(input);
});
undo.addEventListener("click", () => {
  editor.dispatchEvent(new CustomEvent("undo", { detail: changes.pop() }));
});
for (const type of ["focusin", "input", "turned"]) {
  editor.addEventListener(type, (event) => {
    const input = event.target.closest("[data-stage] .control")?.querySelector("input, select, textarea");
    if (input) showAt(input);
  });
}
jump.addEventListener("click", (event) => {
  if (event.target.closest("a")) jump.open = false;
});
