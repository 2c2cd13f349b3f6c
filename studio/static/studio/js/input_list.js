// The input list typed as in a spreadsheet: Enter and the arrows go from line to line, what runs on
// is filled in where a line begins, and rows that are pasted fall into the cells.

const RUNS_ON = ["input", "line", "preamplifier", "converter"];
const list = document.querySelector(".input-list");
const lines = () => [...list.querySelectorAll("[data-line]")];
const cells = (line) => [...line.querySelectorAll("input[data-column]")];
const cell = (line, column) => line.querySelector(`[data-column="${column}"]`);

// Wall 3, P-01/3, 7: the last number and one more.
const next = (text) => text.replace(/(\d+)(?!.*\d)/, (number) => `${Number(number) + 1}`.padStart(number.length, "0"));

function fill(line) {
  const before = line.previousElementSibling;
  if (!before || cells(line).some((each) => each.value)) return;
  for (const column of RUNS_ON) {
    const value = cell(before, column).value;
    if (/\d/.test(value)) cell(line, column).value = next(value);
  }
}

function go(from, by, column) {
  const line = lines()[lines().indexOf(from.closest("[data-line]")) + by];
  if (!line) return;
  if (by === 1) fill(line);
  const to = cell(line, column);
  to.focus();
  to.select();
}

list.addEventListener("focusin", ({ target }) => {
  if (target.dataset.column) fill(target.closest("[data-line]"));
});

list.addEventListener("keydown", (event) => {
  const { column } = event.target.dataset;
  if (!column) return;
  const moves = { Enter: [1, "source"], ArrowDown: [1, column], ArrowUp: [-1, column] };
  const move = moves[event.key];
  if (!move || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  go(event.target, ...move);
});

list.addEventListener("paste", (event) => {
  const { column } = event.target.dataset;
  const text = event.clipboardData.getData("text/plain");
  if (!column || !/[\t\n]/.test(text.trimEnd())) return;
  event.preventDefault();
  const first = lines().indexOf(event.target.closest("[data-line]"));
  const heads = [...list.querySelectorAll("thead th")].map((head) => head.textContent.trim());
  const rows = text.trimEnd().split(/\r?\n/).map((row) => row.split("\t").map((each) => each.trim()));
  const named = rows[0].every((each) => !each || heads.includes(each));
  const start = cells(lines()[first]).indexOf(event.target);
  const columns = named ? rows.shift().map((head) => heads.indexOf(head)) : rows[0].map((_, n) => start + n);
  rows.forEach((row, down) => {
    const line = lines()[first + down];
    if (line) row.forEach((value, across) => {
      const to = cells(line)[columns[across]];
      if (to) to.value = value;
    });
  });
  const more = first + rows.length - lines().length;
  if (more > 0) alert(`${more} more lines than the table has were left out: save, then paste the rest.`);
});
