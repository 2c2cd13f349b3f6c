// The comp sheet by keyboard: arrows go from cell to cell, a digit grades the cell that has the
// focus (0: not graded), N opens its note; Enter does what the buttons above it say.

const MODES = /^[0-5n]$/;
const letters = document.documentElement.dataset.characterKeys !== "off";
const STEPS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };

function neighbour(cell, [down, right]) {
  const rows = [...cell.closest("tbody").rows].filter((row) => row.querySelector(".comp-cell"));
  const row = rows.indexOf(cell.closest("tr"));
  const column = [...rows[row].querySelectorAll(".comp-cell")].indexOf(cell);
  return rows[row + down]?.querySelectorAll(".comp-cell")[column + right];
}

document.addEventListener("keydown", (event) => {
  const cell = event.target.closest(".comp-cell");
  if (!cell || event.ctrlKey || event.metaKey || event.altKey) return;
  const key = event.key.toLowerCase();
  if (event.key in STEPS) {
    event.preventDefault();
    neighbour(cell, STEPS[event.key])?.focus();
  } else if (letters && MODES.test(key)) {
    event.preventDefault();
    const { mode, keep } = cell.form.elements;
    keep.value = mode.value;
    mode.value = key === "n" ? "note" : key;
    cell.click();
  }
});
