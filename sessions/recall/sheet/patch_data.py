"""A patch list as JSON can hold it, and read back: every jack with its bay, place, label and level."""

from collections.abc import Iterable, Mapping

from gear.patchbay.patch_list import (
    BrokenNormal,
    End,
    Link,
    MultUse,
    PatchList,
    Tap,
    TieLineUse,
)
from gear.patchbay.wiring import Jack
from sessions.recall.sheet.song_patch import SongPatch
from sessions.setups.patching.plugs import CordKey, cord_key, cord_numbers

_JACK = ("bay", "row", "column", "label", "level", "side", "mult", "tie_line")
#: The lists of links, in the order of the sheet, by what makes the connection.
_MADE_BY = {"cord": "cords", "normal": "by_normal", "hand": "direct"}


def patching_data(song_patch: SongPatch) -> dict:
    """The patch list of the whole sheet, by what stood together."""
    return {
        "lots": [
            {
                "chains": list(lot.chains),
                "where": lot.where,
                "patch_list": patch_data(lot.patch_list, song_patch.numbers),
                "clashes": [clash.reason for clash in lot.plugs.clashes],
                "returns": list(lot.plugs.returns),
            }
            for lot in song_patch.lots
        ]
    }


def patch_data(found: PatchList, numbers: Mapping[CordKey, int] | None = None) -> dict:
    """Its cords numbered by themselves, unless they are given their numbers."""
    numbers = cord_numbers([found]) if numbers is None else numbers
    return {
        "links": [
            _link(link, made_by, numbers[cord_key(link)] if made_by == "cord" else None)
            for made_by, name in _MADE_BY.items()
            for link in getattr(found, name)
        ],
        "tie_lines": [
            {"tie_line": use.tie_line, "jack": _jack(use.jack), "name": use.name}
            for use in found.tie_lines
        ],
        "mults": [
            {
                "mult": use.name,
                "source": _end(use.source),
                "copies": [_jack(jack) for jack in use.copies],
            }
            for use in found.mults
        ],
        "normals_broken": [
            {
                "upper": _jack(broken.upper),
                "lower": _jack(broken.lower),
                "kind": broken.kind_in_words,
                "plugged": "lower" if broken.plugged == broken.lower else "upper",
                "upper_carries": [f"{chain}" for chain in broken.chains],
            }
            for broken in found.normals_broken
        ],
        "taps": [{"upper": _jack(tap.upper), "lower": _jack(tap.lower)} for tap in found.taps],
    }


def patch_list_of(data: dict) -> PatchList:
    """The patch list that `patch_data` wrote: for reading, not for reckoning with."""
    links = {
        name: tuple(_link_of(link) for link in data["links"] if link["made_by"] == made_by)
        for made_by, name in _MADE_BY.items()
    }
    return PatchList(
        **links,
        tie_lines=tuple(
            TieLineUse(use["tie_line"], _jack_of(use["jack"]), use["name"], ())
            for use in data["tie_lines"]
        ),
        mults=tuple(
            MultUse(use["mult"], _end_of(use["source"]), _jacks_of(use["copies"]), ())
            for use in data["mults"]
        ),
        normals_broken=tuple(_broken_of(each, links["cords"]) for each in data["normals_broken"]),
        taps=tuple(Tap(_jack_of(tap["upper"]), _jack_of(tap["lower"]), ()) for tap in data["taps"]),
    )


def _link(link: Link, made_by: str, number: int | None) -> dict:
    return {
        "made_by": made_by,
        "cord": number,
        "path": link.destination.path,
        "cord_cm": link.cord_cm,
        "chains": [f"{chain}" for chain in link.chains],
        "from": _end(link.source),
        "to": _end(link.destination),
    }


def _end(end: End) -> dict:
    return {
        "name": end.name,
        "unit": end.tag,
        "jack": _jack(end.jack) if end.jack else None,
        "choices": [_jack(jack) for jack in end.choices],
    }


def _jack(jack: Jack) -> dict:
    return {name: getattr(jack, name) for name in _JACK}


def _link_of(link: dict) -> Link:
    chains = tuple(link.get("chains", ()))
    ends = _end_of(link["from"]), _end_of(link["to"], link["path"])
    return Link(*ends, chains, link.get("cord_cm"))


def _end_of(end: dict, path: str = "") -> End:
    jack = _jack_of(end["jack"]) if end["jack"] else None
    choices = _jacks_of(end["choices"])
    return End(end["name"], jack, None, choices, path, tag=end.get("unit", ""))


def _broken_of(broken: dict, cords: Iterable[Link]) -> BrokenNormal:
    upper, lower = _jack_of(broken["upper"]), _jack_of(broken["lower"])
    plugged = lower if broken["plugged"] == "lower" else upper
    chains = tuple(broken["upper_carries"])
    by = tuple(cord for cord in cords if plugged in cord.jacks)
    return BrokenNormal(upper, lower, broken["kind"], plugged, by, chains)


def _jacks_of(jacks: Iterable[dict]) -> tuple[Jack, ...]:
    return tuple(map(_jack_of, jacks))


def _jack_of(jack: dict) -> Jack:
    """By its place alone: it has no key here."""
    return Jack(pk=0, **jack)
