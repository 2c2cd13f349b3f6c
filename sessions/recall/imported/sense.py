"""What a schema can’t say of a recall: how much there may be of it, and that its figures can be shown.

The limits are far above what any song needs, and low enough that a page of it is made in seconds. No
Django here: it is read in a process of its own.
"""

from collections.abc import Sized

from gear.audio.dial import Dial, Mark

DEEPEST = 30
MOST_CHAINS, MOST_STAGES, MOST_STAGES_IN_ALL = 100, 60, 600
MOST_CONTROLS, MOST_CONTROLS_IN_ALL = 300, 5_000
MOST_TAKES, MOST_PHOTOS = 500, 200
MOST_LINKS, MOST_LOTS, MOST_LINKS_OF_A_LOT = 120, 60, 400
LONGEST_TEXT = 10_000
LONGEST_PICTURE = 32_768  # letters of base64, as the schema has it
HIGHEST_NUMBER = 10_000  # of a chain, a unit in it, or a channel
LONGEST_KEY = 40  # of a control: a tick of a rebuild has room for no more


class NotARecall(ValueError):
    """The file can’t be taken in; the message says what is wrong and what to do."""


def check_sense(data: dict) -> None:
    """Raises NotARecall."""
    chains = data["chains"]
    _check_at_most(MOST_CHAINS, chains, "chains")
    _check_at_most(MOST_TAKES, data["takes"], "chosen takes")
    _check_texts(data)
    _check_numbers("The chains", [chain["place"] for chain in chains])
    for chain in chains:
        _check_chain(chain, f"Chain {chain['place']}")
    lots = data.get("patching", {}).get("lots", ())
    _check_at_most(MOST_LOTS, lots, "patch lists")
    for lot in lots:
        for links in lot["patch_list"].values():
            _check_at_most(MOST_LINKS_OF_A_LOT, links, "connections at a time")
    stages = [stage for chain in chains for stage in chain["stages"]]
    _check_at_most(MOST_STAGES_IN_ALL, stages, "units")
    controls = [control for stage in stages for control in _controls(stage)]
    _check_at_most(MOST_CONTROLS_IN_ALL, controls, "controls")
    photos = [photo for each in (data, *chains) for photo in each.get("photos", ())]
    _check_at_most(MOST_PHOTOS, photos, "photographs")


def _check_at_most(most: int, things: Sized, name: str) -> None:
    if len(things) > most:
        raise NotARecall(f"This recall sheet has more than {most} {name}: no song has.")


def _check_numbers(what: str, numbers: list[int]) -> None:
    if len(set(numbers)) < len(numbers) or max(numbers, default=1) > HIGHEST_NUMBER:
        raise NotARecall(f"{what} are not in order. Ask for the sheet again.")


def _check_chain(chain: dict, where: str) -> None:
    stages = chain["stages"]
    if len(stages) > MOST_STAGES:
        raise NotARecall(f"{where} has more than {MOST_STAGES} units: none has.")
    _check_numbers(f"The units of {where.lower()}", [stage["position"] for stage in stages])
    if any(len(links) > MOST_LINKS for links in chain.get("patch_list", {}).values()):
        raise NotARecall(f"{where} has more than {MOST_LINKS} connections: none has.")
    _check_figures(chain, where)
    for stage in stages:
        _check_panel(_controls(stage), stage["settings"], f"{where}, unit {stage['position']}")
    if source := chain.get("source_facts"):
        _check_panel(source["controls"], source["settings"], f"{where}, its amplifier")
    _check_measured_through(chain, where)


def _controls(stage: dict) -> list[dict]:
    return stage["panel"]["controls"] if stage["panel"] else []


def _check_panel(controls: list[dict], settings: dict, where: str) -> None:
    """That it makes sense to the arithmetic."""
    keys = [control["key"] for control in controls]
    if len(keys) > MOST_CONTROLS or len(set(keys)) < len(keys):
        raise NotARecall(f"{where}: its panel has too many controls, or one of them twice.")
    if any(len(key) > LONGEST_KEY for key in keys):
        raise NotARecall(f"{where}: a control’s key is longer than {LONGEST_KEY} letters.")
    if unknown := set(settings) - set(keys):
        raise NotARecall(f"{where}: {', '.join(sorted(unknown))[:80]} is set but not on its panel.")
    for control in controls:
        try:
            marks = [
                Mark(mark["value"], mark["angle"], mark.get("label", ""))
                for mark in control["marks"]
            ]
            Dial(tuple(marks), control["kind"], control["scale"])
        except ValueError as problem:
            raise NotARecall(f"{where}, {control['label'][:40]}: {problem}"[:400]) from problem


def _check_figures(chain: dict, where: str) -> None:
    """That the figures are such as can be measured: then there is room for them here."""
    stages = chain["stages"]
    levels = [chain["levels"]["tone_dbu"], *(stage["tone_reading_dbu"] for stage in stages)]
    placed = {**(chain["placement"] or {}), **(chain.get("group") or {})}
    figures = {name: value for name, value in placed.items() if _is_figure(value)}
    too_far = [value for value in levels if value is not None and abs(value) > 200]
    too_far += [
        value
        for name, value in figures.items()
        if abs(value) > (360 if name.endswith("_deg") else 9_999)
    ]
    if too_far or (chain["levels"]["tone_hz"] or 0) > 200_000:
        raise NotARecall(f"{where} holds an impossible level, distance or angle.")
    if any((stage["unit"].get("channel") or 0) > HIGHEST_NUMBER for stage in stages):
        raise NotARecall(f"{where} is at a channel that no unit has.")


def _check_measured_through(chain: dict, where: str) -> None:
    """That it is a unit of the chain. How much there is, and how large its figures are, the schema says."""
    through = {
        each["through_stage"]
        for depth in ("full", "tones")
        for each in chain.get("measurements", {}).get(depth, ())
    }
    if not through <= {None, *(stage["position"] for stage in chain["stages"])}:
        raise NotARecall(f"{where} was measured through a unit that it does not have.")


def _is_figure(value) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _check_texts(data, depth: int = 1, longest: int = LONGEST_TEXT) -> None:
    if depth > DEEPEST:
        raise NotARecall("This file is nested deeper than any recall sheet.")
    if isinstance(data, str):
        if len(data) > longest or "\x00" in data or not data.isprintable() and _is_broken(data):
            raise NotARecall("A text in this recall sheet is longer than any note, or is no text.")
    elif isinstance(data, dict):
        for key, value in data.items():
            _check_texts(key, depth + 1)
            _check_texts(value, depth + 1, LONGEST_PICTURE if key == "base64" else LONGEST_TEXT)
    elif isinstance(data, list):
        for value in data:
            _check_texts(value, depth + 1)
    elif isinstance(data, int | float) and abs(data) > 1e12:
        raise NotARecall("A number in this recall sheet is larger than anything that can be set.")


def _is_broken(text: str) -> bool:
    """Half a sign, which no file can be written with."""
    return any("\ud800" <= sign <= "\udfff" for sign in text)
