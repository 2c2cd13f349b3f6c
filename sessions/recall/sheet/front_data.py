"""What the sheet's first page says of the whole song, as data."""

from sessions.recall.sheet.contents import RecallSheet, TrackLine
from sessions.recall.sheet.front import CordCount, NeededUnit, Shared
from sessions.recall.sheet.stage_data import unit_data


def needed_data(sheet: RecallSheet) -> dict:
    return {
        "units": [_needed(each) for each in sheet.units],
        "cords": [_count(each) for each in sheet.cords],
        "direct_cables": [_count(each) for each in sheet.cables],
        "inputs": [_input(each) for each in sheet.tracks],
        "shared": [_shared(each) for each in sheet.shared],
    }


def _needed(needed: NeededUnit) -> dict:
    return {
        "unit": unit_data(needed.unit),
        "chains": list(needed.chains),
        "on_minutes_before": needed.warm_up_minutes,
        "plugged_in_first": [fed.asset_tag for fed in needed.feeds],
        "standing_today": needed.standing,
    }


def _count(count: CordCount) -> dict:
    return {"where": count.where, "length_cm": count.length_cm, "count": count.count}


def _input(track: TrackLine) -> dict:
    unit = track.converter and track.converter.stage.facts.unit
    return {
        "chain": track.chain.number,
        "input": track.chain.revision.chain.destination_input,
        "converter": unit.tag if unit else "",
        "phantom": track.phantom,
    }


def _shared(shared: Shared) -> dict:
    return {"what": shared.what, "chains": shared.chains, "words": shared.words}
