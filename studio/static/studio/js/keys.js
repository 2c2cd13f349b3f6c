// One key for what is done often: the element with data-key="t" is used when T is pressed,
// unless somebody is typing. data-key="n arrowright" gives it two.
const TYPING = "input, textarea, select, [contenteditable]";

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
  if (event.target.closest(TYPING)) return;
  const wanted = CSS.escape(event.key.toLowerCase());
  const target = document.querySelector(`[data-key~="${wanted}"]`);
  if (!target) return;
  event.preventDefault();
  if (target.matches(TYPING)) target.focus();
  else target.click();
});
