// A song's files to listen to. Another version goes on at the place where the last one was, turned
// down by its `gain` (decibels, never above 0) so that all are equally loud; the player's own loudness
// control is the listener's and stays so. Sections, lines and notes lead to their time.

const REMEMBERED = "listening-copy";
const wantsOriginal = () => localStorage.getItem(REMEMBERED) === "original";
const inDecibels = (gain) => 10 ** (Number(gain || 0) / 20);

// Some phones let no page set the loudness: what was set does not stay.
function loudnessCanBeSet() {
  const probe = new Audio();
  probe.volume = 0.5;
  return probe.volume === 0.5;
}

function inWords(seconds) {
  const tenths = Math.round(seconds * 10);
  return `${Math.floor(tenths / 600)}:${((tenths % 600) / 10).toFixed(1).padStart(4, "0")}`;
}

function listen(player) {
  const [audio, now, how, said] = ["audio", "[data-now]", "[data-now-how]", "[data-said]"].map((each) =>
    player.querySelector(each));
  const versions = [...player.querySelectorAll("[data-play]")];
  const places = [...player.querySelectorAll("[data-jump]")].sort((a, b) => a.dataset.jump - b.dataset.jump);
  const match = player.querySelector("[data-match]");
  const canMatch = match && loudnessCanBeSet();
  let version = versions.find((each) => each.ariaCurrent) ?? versions[0];
  let own = audio.volume; // as the listener set it
  let factor = 1; // of the version that plays

  function isOriginal() {
    const { light, original, broken } = version.dataset;
    return Boolean(original && !broken && (wantsOriginal() || !light));
  }

  function setLoudness() {
    const { lightGain, originalGain } = version.dataset;
    const gain = canMatch && match.checked ? (isOriginal() ? originalGain : lightGain) : 0;
    factor = inDecibels(gain);
    audio.volume = own * factor;
    const tenths = Number(gain || 0).toFixed(1).replace("-", "−");
    const matched = match?.checked && canMatch ? `, matched: ${Number(tenths) === 0 ? "0.0" : tenths} dB` : "";
    now.textContent = version.dataset.name;
    how.textContent = `${isOriginal() ? "original" : "light copy"}${matched}`;
  }

  function load({ at = audio.currentTime, play = !audio.paused } = {}) {
    const address = isOriginal() ? version.dataset.original : version.dataset.light;
    setLoudness();
    for (const each of versions) each.ariaCurrent = each === version ? "true" : null;
    if (audio.getAttribute("src") !== address) audio.src = address;
    audio.currentTime = at;
    if (play) audio.play().catch(() => {}); // what is wrong comes as an error of the player
  }

  // Places of the song count from its bar 1, which may begin later in the file.
  const timeOf = ({ dataset }) =>
    Number(dataset.jump) + ("fromBarOne" in dataset ? Number(version.dataset.barOne) : 0);

  function jump(link) {
    version = versions.find((each) => each.dataset.play === link.dataset.of) ?? version;
    load({ at: timeOf(link), play: true });
  }

  player.addEventListener("click", (event) => {
    const chosen = event.target.closest("[data-play]");
    if (!chosen) return;
    event.preventDefault();
    version = chosen;
    load({ play: true });
  });
  for (const each of player.querySelectorAll("[name=copy]")) {
    each.checked = (each.value === "original") === wantsOriginal();
    each.addEventListener("change", () => {
      localStorage.setItem(REMEMBERED, each.value);
      load();
    });
  }
  match?.addEventListener("change", setLoudness);
  if (match && !canMatch) {
    match.checked = false;
    match.disabled = true;
    said.textContent = "This device lets no page set the loudness: versions play as they are.";
  }
  audio.addEventListener("volumechange", () => {
    if (Math.abs(audio.volume - own * factor) < 0.001) return;
    own = Math.min(1, audio.volume / factor);
    audio.volume = own * factor;
  });
  audio.addEventListener("error", () => {
    const wasOriginal = isOriginal();
    if (wasOriginal) version.dataset.broken = "yes";
    if (wasOriginal && version.dataset.light) {
      said.textContent = "This browser does not play the original: the light copy plays in its place.";
      load();
    } else {
      said.textContent = "This can’t be played here: check the connection, or download the file.";
    }
  });
  audio.addEventListener("timeupdate", () => {
    const on = places.findLast((each) => timeOf(each) <= audio.currentTime + 0.05);
    for (const each of places) each.ariaCurrent = each === on ? "true" : null;
  });
  for (const each of player.querySelectorAll("[data-scripted]")) each.hidden = false;
  load({ at: 0, play: false });
  return { audio, jump };
}

const players = new Map([...document.querySelectorAll("[data-player]")].map((each) => [each, listen(each)]));
const ofThing = (thing) => players.get(thing.closest("[data-player]") ?? players.keys().next().value);

document.addEventListener("click", (event) => {
  const link = event.target.closest("[data-jump]");
  if (!link || !players.size) return;
  event.preventDefault();
  ofThing(link).jump(link);
});

// A note that is begun while something plays takes the time, unless one was typed.
document.addEventListener("focusin", (event) => {
  if (!event.target.matches("[data-asks-time]") || !players.size) return;
  const time = event.target.form.querySelector("[data-takes-time]");
  const { audio } = ofThing(event.target);
  if (time && !time.value && audio.currentTime > 0) time.value = inWords(audio.currentTime);
});
