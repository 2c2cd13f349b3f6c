// What is chosen from a list, found by typing: a combobox with a list box (ARIA Authoring Practices
// Guide, “Editable Combobox With List Autocomplete”). Beneath stand ticks, a select or a text field,
// which are sent as ever; without this, they are what is used.
const FEW = 6; // ticks that are seen at a glance stay ticks
const SHOWN = 60; // at once; typing finds the rest
const PATIENCE = 150; // ms of not typing before the server is asked
let number = 0;

const fold = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
const changed = (field) => field.dispatchEvent(new Event("change", { bubbles: true }));
const make = (tag, properties = {}, ...inside) => {
  const made = Object.assign(document.createElement(tag), properties);
  made.append(...inside);
  return made;
};

class Several {
  // Ticks: what is chosen stands before the field, each with a press that removes it.
  several = true;
  takesFirst = true;
  constructor(list) {
    this.list = list;
    this.boxes = [...list.querySelectorAll("input")];
    this.name = list.closest("fieldset").querySelector("legend").firstChild.textContent.trim();
  }
  options() {
    return this.boxes.map((box) => ({
      box,
      label: box.nextElementSibling.textContent,
      group: box.closest("[role=group]")?.ariaLabel ?? "",
      chosen: box.checked,
      ...box.dataset,
    }));
  }
  choose({ box }) {
    box.checked = !box.checked;
    changed(box);
  }
}

class One {
  // A select: the field shows what is chosen, and what is not there may be made.
  takesFirst = true;
  constructor(select) {
    this.list = select;
    this.label = document.querySelector(`label[for="${select.id}"]`);
    this.instead = ""; // shown where nothing is chosen, since it is made anew
  }
  options() {
    return [...this.list.options]
      .filter((option) => option.value)
      .map((option) => ({
        option,
        label: option.label,
        group: option.parentElement.label ?? "",
        chosen: option.selected,
      }));
  }
  choose({ option, typed }) {
    this.instead = typed ? `New: ${typed}` : "";
    this.list.value = option?.value ?? "";
    if (typed) this.list.dispatchEvent(new CustomEvent("picks:new", { bubbles: true, detail: typed }));
    changed(this.list);
  }
  get text() {
    return this.list.value ? this.list.selectedOptions[0].label : this.instead;
  }
  learn(found) {
    for (const option of found.querySelectorAll("option")) {
      if (![...this.list.options].some((known) => known.value === option.value)) {
        this.list.append(option.parentElement);
      }
    }
  }
}

class Typed {
  // A text field: what is typed counts, known names are offered.
  constructor(field) {
    this.list = this.field = field;
    this.known = new Set([...(field.parentElement.querySelectorAll("datalist option") ?? [])].map((each) => each.value));
  }
  options() {
    return [...this.known].map((label) => ({ label, group: "", chosen: label === this.field.value }));
  }
  choose({ label }) {
    this.field.value = label;
    changed(this.field);
  }
  learn(found) {
    for (const option of found.querySelectorAll("option")) this.known.add(option.value);
  }
}

function sourceOf(list) {
  if (list instanceof HTMLSelectElement) return new One(list);
  return list instanceof HTMLInputElement ? new Typed(list) : new Several(list);
}

class Picker {
  constructor(source) {
    this.source = source;
    this.id = `picks-${(number += 1)}`;
    this.box = make("ul", { id: this.id, role: "listbox", hidden: true, className: "picks-found" });
    this.box.setAttribute("aria-label", source.name ?? "Found");
    if (source.several) this.box.setAttribute("aria-multiselectable", "true");
    this.field = source.field ?? make("input", { type: "text", autocomplete: "off" });
    this.field.setAttribute("role", "combobox");
    this.field.setAttribute("aria-autocomplete", "list");
    this.field.setAttribute("aria-expanded", "false");
    this.field.setAttribute("aria-controls", this.id);
    this.frame = make("div", { className: "picks-frame" });
    this.place();
    for (const [name, act] of Object.entries({
      input: () => this.typed(),
      keydown: (event) => this.key(event),
      click: () => this.open(),
      blur: () => this.leave(),
    })) {
      this.field.addEventListener(name, act);
    }
    this.field.addEventListener("focus", () => this.field.select());
    this.box.addEventListener("pointerdown", (event) => event.preventDefault()); // the field keeps the focus
    this.box.addEventListener("click", (event) => {
      const row = event.target.closest("[role=option]");
      if (row) this.take(this.found[[...this.box.children].indexOf(row)]);
    });
    source.list.addEventListener("change", () => this.show());
    source.list.addEventListener("picks:said", () => this.show());
    window.addEventListener("pageshow", () => this.show());
    this.show();
  }

  place() {
    const { list, several, label, name } = this.source;
    if (this.source.field) {
      list.removeAttribute("list");
      list.autocomplete = "off";
      list.before(this.frame);
      this.frame.append(list, this.box);
      return;
    }
    if (several) {
      this.picked = make("ul", { className: "picks-chosen" });
      this.picked.setAttribute("aria-label", `${name}: chosen`);
      this.field.setAttribute("aria-label", `${name}: type to find`);
      this.field.placeholder = "Type to find";
      this.frame.append(this.picked);
    }
    // Errors and labels lead to the field that is seen.
    const described = list.getAttribute("aria-describedby");
    if (described) this.field.setAttribute("aria-describedby", described);
    if (list.getAttribute("aria-invalid")) this.field.setAttribute("aria-invalid", "true");
    this.field.id = list.id;
    list.id += "_list";
    if (label) label.htmlFor = this.field.id;
    this.frame.append(this.field, this.box);
    list.before(this.frame);
    list.hidden = true;
  }

  show() {
    if (this.picked) {
      const chosen = this.source.options().filter((each) => each.chosen);
      this.picked.replaceChildren(...chosen.map((each) => this.chip(each)));
      this.picked.hidden = !chosen.length;
    } else if (!this.source.field && document.activeElement !== this.field) {
      this.field.value = this.source.text;
    }
    if (!this.box.hidden) this.find();
  }

  chip(each) {
    const words = make("span", { textContent: each.label });
    const state = each.state === "free" ? "" : (each.state ?? "");
    const press = make("button", { type: "button", className: `pick ${state}` }, words);
    if (state) press.append(make("span", { className: "pick-state", textContent: state }));
    press.append(make("span", { ariaHidden: "true", textContent: "×" }));
    press.setAttribute("aria-label", `Remove ${each.label}${state ? `, ${state} then` : ""}`);
    press.addEventListener("click", () => {
      this.source.choose(each);
      this.field.focus();
    });
    return make("li", {}, press);
  }

  typed() {
    this.find();
    const { asks } = this.source.list.dataset;
    clearTimeout(this.waits);
    if (!asks || !this.field.value.trim()) return;
    this.waits = setTimeout(() => this.ask(asks, this.field.value), PATIENCE);
  }

  async ask(address, typed) {
    const answer = await fetch(`${address}&q=${encodeURIComponent(typed)}`).catch(() => null);
    if (!answer?.ok) return; // what is listed may still be chosen
    this.source.learn(make("template", { innerHTML: await answer.text() }).content);
    if (this.field.value === typed && document.activeElement === this.field) this.find();
  }

  // The options that have each word typed, those that begin with all of it first.
  matches() {
    const typed = fold(this.field.value.trim());
    const words = typed.split(/\s+/);
    const has = (each) => words.every((word) => fold(`${each.label} ${each.group}`).includes(word));
    const found = this.source.options().filter(has);
    return found.sort((a, b) => fold(b.label).startsWith(typed) - fold(a.label).startsWith(typed));
  }

  find() {
    const typed = this.field.value.trim();
    const found = this.matches();
    const more = found.length - SHOWN;
    this.found = found.slice(0, SHOWN);
    const kind = this.source.list.dataset.new;
    const known = found.some((each) => fold(each.label) === fold(typed));
    if (kind && typed && !known) this.found.push({ label: `${kind} “${typed}”`, typed });
    this.box.replaceChildren(...this.found.map((each, place) => this.row(each, place)));
    if (more > 0) this.box.append(this.note(`${more} more: type on to find them`));
    if (!this.found.length && this.source.takesFirst) this.box.append(this.note("Nothing found"));
    this.box.hidden = !this.box.children.length;
    this.field.setAttribute("aria-expanded", String(!this.box.hidden));
    this.point(typed && this.source.takesFirst && this.found.length ? 0 : -1);
  }

  row(each, place) {
    const row = make("li", { id: `${this.id}-${place}`, role: "option" }, make("span", { textContent: each.label }));
    row.setAttribute("aria-selected", String(Boolean(each.chosen)));
    const beside = [each.group, each.said ?? each.state].filter(Boolean).join(" · ");
    if (beside) row.append(make("span", { className: "soft", textContent: beside }));
    if (each.state) {
      row.prepend(make("span", { className: `pick-state ${each.state}`, textContent: each.state }));
    }
    return row;
  }

  note(words) {
    const row = make("li", { role: "option", className: "soft", textContent: words });
    row.setAttribute("aria-disabled", "true");
    row.setAttribute("aria-selected", "false");
    return row;
  }

  point(place) {
    this.at = place;
    [...this.box.children].forEach((row, other) => row.classList.toggle("is-at", other === place));
    const row = place < 0 ? null : this.box.children[place];
    if (row) this.field.setAttribute("aria-activedescendant", row.id);
    else this.field.removeAttribute("aria-activedescendant");
    row?.scrollIntoView({ block: "nearest" });
  }

  open() {
    if (!this.box.hidden) return;
    if (!this.source.several && !this.source.field) this.field.value = "";
    this.find();
  }

  shut() {
    this.box.hidden = true;
    this.field.setAttribute("aria-expanded", "false");
    this.point(-1);
  }

  take(each) {
    if (!each) return;
    clearTimeout(this.waits);
    this.field.value = "";
    this.shut();
    this.source.choose(each);
    if (!this.source.several && !this.source.field) this.field.value = this.source.text;
  }

  leave() {
    this.shut();
    if (!this.source.field) this.field.value = this.source.several ? "" : this.source.text;
  }

  key(event) {
    const { key } = event;
    const isOpen = !this.box.hidden;
    if (key === "ArrowDown" || key === "ArrowUp") {
      event.preventDefault();
      if (!isOpen) this.open();
      const count = this.found.length;
      const step = key === "ArrowDown" ? 1 : -1;
      if (count) this.point((Math.max(this.at, step > 0 ? -1 : 0) + step + count) % count);
    } else if (key === "Enter" && isOpen && this.at >= 0) {
      event.preventDefault();
      this.take(this.found[this.at]);
    } else if (key === "Tab" && isOpen && this.at >= 0) {
      this.take(this.found[this.at]);
    } else if (key === "Escape" && isOpen) {
      event.preventDefault();
      this.shut();
    } else if (key === "Backspace" && this.source.several && !this.field.value) {
      const last = this.source.options().findLast((each) => each.chosen);
      if (last) this.source.choose(last);
    }
  }
}

for (const list of document.querySelectorAll("[data-picks]")) {
  const source = sourceOf(list);
  if (source.several && source.boxes.length <= FEW) list.classList.add("few");
  else new Picker(source);
}
