"""The recall sheet as data, by the schema beside this file (recall.schema.json).

Plain numbers, words and lists: all that it takes to set the chains up again, here or in a house
that has never seen this database. Every name is the one that the paper prints.
"""

import json
from dataclasses import asdict

from sessions.recall.sheet.chain_data import chain_data
from sessions.recall.sheet.contents import ChosenTake, RecallSheet
from sessions.recall.sheet.front_data import needed_data
from sessions.recall.sheet.headphones import HeadphoneSheet
from sessions.recall.sheet.patch_data import patching_data
from sessions.recall.sheet.people import SessionPeople
from sessions.recall.sheet.photo_data import photo_data, pictures_of
from sessions.recall.sheet.plain_data import moment, number, session_data
from sessions.recall.sheet.schema import FORMAT, VERSION
from sessions.songs.models import Song
from sessions.takes.comp.lines import Comp

MEDIA_TYPE = "application/json"


def recall_data(sheet: RecallSheet, *, studio: str, address: str) -> dict:
    """The sheet as JSON can hold it; no query. address: the page where the recall stands."""
    pictures = pictures_of(sheet)
    places = {chain.revision.pk: place for place, chain in enumerate(sheet.chains, 1)}
    return {
        "format": FORMAT,
        "version": VERSION,
        "studio": studio,
        "address": address,
        "song": _song(sheet.song),
        "part": sheet.part.name if sheet.part else None,
        "sessions": [_people(each) for each in sheet.people],
        "contact": asdict(sheet.contact) if sheet.contact else None,
        "takes": [_take(chosen, places) for chosen in sheet.takes],
        "comps": [_comp(comp) for comp in sheet.comps],
        "chains": [
            chain_data(
                chain, place, sheet.song, cord_numbers=sheet.patch.numbers, pictures=pictures
            )
            for place, chain in enumerate(sheet.chains, 1)
        ],
        "needed": needed_data(sheet),
        "patching": patching_data(sheet.patch),
        "headphones": [_headphones(heard) for heard in sheet.headphones],
        "photos": [photo_data(shown, pictures) for shown in sheet.photos],
    }


def recall_json(sheet: RecallSheet, *, studio: str, address: str) -> bytes:
    """The same as a UTF-8 file: the same bytes for the same sheet. Not indented, which takes Python
    ten times as long."""
    data = recall_data(sheet, studio=studio, address=address)
    return json.dumps(data, ensure_ascii=False, allow_nan=False).encode()


def _song(song: Song) -> dict:
    project = song.project
    return {
        "title": song.title,
        "artist": project.artist,
        "project": project.name,
        "client": project.client.name,
        "key": song.key,
        "meter": song.meter,
        "tempo_map": song.tempo_map,
        "sample_rate_hz": project.sample_rate,
        "bit_depth": project.bit_depth,
        "full_scale_dbu": number(project.full_scale_dbu),
        "isrc": song.isrc,
        "iswc": song.iswc,
        "note": song.note,
    }


def _people(people: SessionPeople) -> dict:
    return {
        **session_data(people.session),
        "rooms": list(people.rooms),
        "engineers": people.engineers,
        "assistants": people.assistants,
        "credits": [asdict(each) for each in people.credits],
    }


def _take(chosen: ChosenTake, places: dict[int, int]) -> dict:
    part, take = chosen.part, chosen.part.take
    return {
        "part": part.part.name,
        "performer": part.part.performer.name if part.part.performer else "",
        "number": take.number,
        "kind": take.kind,
        "punched_into": take.into.number if take.into else None,
        "punch_in": take.punch_in,
        "punch_out": take.punch_out,
        "started_at": moment(take.started_at),
        "ended_at": moment(take.ended_at),
        "mark": part.mark,
        "grade": part.grade,
        "circled": part.circled,
        "chosen_because": chosen.why,
        "session": session_data(take.session),
        "chains": [places[through.revision_id] for through in chosen.through],
        "changed_while_rolling": [
            {"chain": places[through.revision_id], "since": moment(through.since)}
            for through in chosen.through
            if through.since
        ],
        "chains_not_settled": list(chosen.not_settled),
        "note": take.note,
        "note_on_part": part.note,
    }


def _comp(comp: Comp) -> dict:
    return {
        "part": comp.part.name,
        "lines": [
            {
                "section": each.section.name,
                "line": each.line.text if each.line else None,
                "begins": each.begins,
                "ends": each.ends,
                "take": each.take.number if each.take else None,
                "punched_into": each.take.into.number if each.take and each.take.into else None,
            }
            for each in comp.lines
        ],
    }


def _headphones(heard: HeadphoneSheet) -> dict:
    return {
        "setup": heard.setup.name,
        "session": session_data(heard.setup.session),
        "takes": [{"part": each.part.name, "number": each.take.number} for each in heard.takes],
        "kept": True,
        "mixes": [mix.to_json() for mix in heard.mixes],
    }
