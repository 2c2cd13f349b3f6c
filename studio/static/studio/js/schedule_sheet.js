// Where times and places lie on a sheet of the schedule: on a month only the days do. The axis is made of stretches of the clock
// (rows of a day, hours of a week), which carry data-minute and data-length; a track is a column of a
// day, or the rows of one line on one day of a week. Moments are minutes of the studio's clock, counted
// from 1970 without its offset: the server knows which instant a clock means.
export const STEP = 15;
const DAY = 24 * 60;

export const minuteOf = (typed) => Date.parse(`${typed}Z`) / 60_000;
export const typedOf = (minute) => new Date(minute * 60_000).toISOString().slice(0, 16);
export const clockOf = (minute) => typedOf(minute).slice(11);

export class Sheet {
  constructor(table) {
    this.table = table;
    this.holder = table.closest(".sheet-holder");
    this.across = table.dataset.sheet !== "y";
  }

  // As the page lies now: where each stretch of the axis begins and ends, and each track.
  measure() {
    const [from, to, low, high] = this.across
      ? ["left", "right", "top", "bottom"]
      : ["top", "bottom", "left", "right"];
    this.stretches = [...this.table.querySelectorAll("[data-minute]")].map((each) => {
      const box = each.getBoundingClientRect();
      const minute = Number(each.dataset.minute);
      return { minute, ends: minute + Number(each.dataset.length), from: box[from], to: box[to] };
    });
    this.tracks = [];
    for (const each of this.table.querySelectorAll("[data-resource]")) {
      const box = each.getBoundingClientRect();
      const day = each.dataset.day ?? this.table.dataset.day;
      const last = this.tracks.at(-1);
      if (this.across && last?.day === day && last.resource === each.dataset.resource) last.high = box[high];
      else {
        const { resource } = each.dataset;
        const name = this.across ? each.querySelector(".lines").textContent : each.textContent;
        this.tracks.push({ day, resource, name: name.trim(), low: box[low], high: box[high] });
      }
    }
    return this;
  }

  // What is pointed at: a track, and a moment on it.
  at({ clientX, clientY }) {
    const [along, beside] = this.across ? [clientX, clientY] : [clientY, clientX];
    const nearest = (each) => Math.max(each.low - beside, beside - each.high, 0);
    const track = this.tracks.reduce((best, each) => (nearest(each) < nearest(best) ? each : best));
    return { track, minute: minuteOf(`${track.day}T00:00`) + this.minuteAt(along) };
  }

  minuteAt(pixel) {
    const [first, last] = [this.stretches[0], this.stretches.at(-1)];
    const held = Math.min(Math.max(pixel, first.from), last.to);
    const here = this.stretches.find((each) => held < each.to) ?? last;
    return here.minute + ((held - here.from) / (here.to - here.from)) * (here.ends - here.minute);
  }

  pixelOf(minute) {
    const last = this.stretches.at(-1);
    const here = this.stretches.find((each) => minute < each.ends) ?? last;
    const part = (Math.min(Math.max(minute, here.minute), here.ends) - here.minute) / (here.ends - here.minute);
    return here.from + part * (here.to - here.from);
  }

  // Lays an element over a period of a track, as much of it as is on that day.
  lay(element, track, starts, ends) {
    const midnight = minuteOf(`${track.day}T00:00`);
    const within = (minute) => this.pixelOf(Math.min(Math.max(minute - midnight, 0), DAY));
    const holder = this.holder.getBoundingClientRect();
    const [from, to] = [within(starts), within(ends)];
    const [x, y, width, height] = this.across
      ? [from, track.low, to - from, track.high - track.low]
      : [track.low, from, track.high - track.low, to - from];
    element.style.left = `${x - holder.left + this.holder.scrollLeft}px`;
    element.style.top = `${y - holder.top + this.holder.scrollTop}px`;
    element.style.width = `${width}px`;
    element.style.height = `${Math.max(height, 6)}px`;
    if (element.parentElement !== this.holder) this.holder.append(element);
  }
}

// A month: its tracks are the days, and a moment on one is its midnight.
class Month extends Sheet {
  measure() {
    this.tracks = [...this.table.querySelectorAll("[data-day]")].map((each) => {
      const { left, right, top, bottom } = each.getBoundingClientRect();
      return { day: each.dataset.day, name: "", left, right, top, bottom };
    });
    return this;
  }

  at({ clientX, clientY }) {
    const far = ({ left, right, top, bottom }) =>
      Math.max(left - clientX, clientX - right, 0) + Math.max(top - clientY, clientY - bottom, 0);
    const track = this.tracks.reduce((best, each) => (far(each) < far(best) ? each : best));
    return { track, minute: minuteOf(`${track.day}T00:00`) };
  }

  lay(element, track) {
    const holder = this.holder.getBoundingClientRect();
    element.style.left = `${track.left - holder.left}px`;
    element.style.top = `${track.top - holder.top}px`;
    element.style.width = `${track.right - track.left}px`;
    element.style.height = `${track.bottom - track.top}px`;
    if (element.parentElement !== this.holder) this.holder.append(element);
  }
}

export function sheetOf(element) {
  const table = element.closest("[data-sheet]");
  return table.dataset.sheet === "days" ? new Month(table) : new Sheet(table);
}

export const dayOf = (cell) => (cell.closest("[data-day]") ?? cell.closest("[data-sheet]")).dataset.day;

export const toStep = (minute) => Math.round(minute / STEP) * STEP;
