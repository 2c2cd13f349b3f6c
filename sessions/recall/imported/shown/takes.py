"""The song, takes, comps and headphones of an imported sheet, as models that are never saved."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from sessions.clients.models import Client, Project
from sessions.recall.imported.shown.things import Things, moment, related
from sessions.recall.sheet.contents import ChosenTake
from sessions.recall.sheet.headphones import HeadphoneSheet
from sessions.setups.headphones.listening import HeardMix
from sessions.setups.models import Revision
from sessions.songs.models import LyricLine, Section, Song
from sessions.takes.comp.lines import ChosenLine, Comp
from sessions.takes.models import Take, TakePart, TakeRevision


def song_told(data: dict) -> Song:
    client = Client(pk=1, name=data["client"])
    project = Project(
        pk=1,
        client=client,
        name=data["project"],
        artist=data["artist"],
        sample_rate=data["sample_rate_hz"],
        bit_depth=data["bit_depth"],
        full_scale_dbu=Decimal(str(data["full_scale_dbu"])),
    )
    facts = ("title", "key", "meter", "tempo_map", "isrc", "iswc", "note")
    return Song(pk=1, project=project, **{name: data[name] for name in facts})


def takes_told(
    data: Iterable[dict], revisions: Mapping[int, Revision], things: Things
) -> tuple[ChosenTake, ...]:
    """`revisions` by the places of their chains. What several parts share is one take."""
    takes: dict[int, Take] = {}
    return tuple(_chosen(each, revisions, takes, things) for each in data)


def _take(data: dict, takes: dict[int, Take], things: Things) -> Take:
    key = things.key("take", data["number"])
    if key not in takes:
        into = data.get("punched_into")
        takes[key] = Take(
            pk=key,
            song=things.song,
            session=things.session(data["session"]),
            number=data["number"],
            kind=data["kind"],
            into=into and Take(pk=things.key("take", into), song=things.song, number=into),
            punch_in=data["punch_in"],
            punch_out=data["punch_out"],
            started_at=moment(data.get("started_at")),
            ended_at=moment(data.get("ended_at")),
            note=data["note"],
        )
    return takes[key]


def _chosen(
    data: dict, revisions: Mapping[int, Revision], takes: dict[int, Take], things: Things
) -> ChosenTake:
    take = _take(data, takes, things)
    part = TakePart(
        pk=things.key("part of take", data["part"], take.pk),
        take=take,
        part=things.part(data["part"], data["performer"]),
        mark=data["mark"],
        grade=data.get("grade"),
        circled=data["circled"],
        note=data.get("note_on_part", ""),
    )
    since = {
        change["chain"]: moment(change["since"]) for change in data.get("changed_while_rolling", ())
    }
    through = tuple(
        TakeRevision(take=take, revision=revisions[place], since=since.get(place))
        for place in dict.fromkeys(data["chains"])
        if place in revisions
    )
    not_settled = tuple(data.get("chains_not_settled", ()))
    return ChosenTake(part, data["chosen_because"], through, not_settled)


def comps_told(data: Iterable[dict], things: Things) -> tuple[Comp, ...]:
    return tuple(
        Comp(things.part(comp["part"]), tuple(_lines(comp["lines"], things))) for comp in data
    )


@dataclass(frozen=True)
class ToldLine(ChosenLine):
    """Where it begins and ends stands in the file, in words."""

    told: tuple[str, str]

    @property
    def begins(self) -> str:
        return self.told[0]

    @property
    def ends(self) -> str:
        return self.told[1]


def _lines(data: Iterable[dict], things: Things) -> list[ToldLine]:
    sections: dict[str, Section] = {}
    told, lines = [], {}
    for place, each in enumerate(data, 1):
        name = each["section"]
        key = things.key("section", name)
        section = sections.setdefault(name, Section(pk=key, song=things.song, name=name))
        line = None
        if each["line"] is not None:
            line = LyricLine(pk=place, section=section, text=each["line"])
            lines.setdefault(name, []).append(line)
        take = each["take"] and _take_of_comp(each, things)
        points = each["begins"], each["ends"]
        told.append(ToldLine(section, line, None, take or None, points))
    for name, section in sections.items():
        related(section, lines=lines.get(name, ()))
    return told


def _take_of_comp(data: dict, things: Things) -> Take:
    into = data["punched_into"]
    return Take(
        pk=things.key("take", data["take"]),
        song=things.song,
        number=data["take"],
        into=into and Take(pk=things.key("take", into), song=things.song, number=into),
    )


def heard_told(data: Iterable[dict], things: Things) -> tuple[HeadphoneSheet, ...]:
    return tuple(
        HeadphoneSheet(
            things.setup(heard["setup"], things.session(heard["session"])),
            tuple(_part_of_take(each, things) for each in heard["takes"]),
            tuple(map(HeardMix.from_json, heard["mixes"])),
        )
        for heard in data
    )


def _part_of_take(data: dict, things: Things) -> TakePart:
    take = Take(pk=things.key("take", data["number"]), song=things.song, number=data["number"])
    return TakePart(take=take, part=things.part(data["part"]))
