"""A mix as data: every name and figure that its paper prints."""

import json

from sessions.deliverables.mixes.lines import cells_of
from sessions.deliverables.mixes.sheet import InsertSheet, MixSheet, StripSheet

FORMAT, VERSION = "mix-setup", 1


def mix_data(sheet: MixSheet, *, studio: str, address: str) -> dict:
    """As JSON can hold it; no query. address: the page of the revision."""
    revision, project = sheet.revision, sheet.revision.setup.project
    return {
        "format": FORMAT,
        "version": VERSION,
        "studio": studio,
        "address": address,
        "artist": project.artist,
        "project": project.name,
        "songs": [song.title for song in revision.setup.songs.all()],
        "setup": revision.setup.name,
        "revision": revision.number,
        "locked_at": revision.fixed_at.isoformat() if revision.fixed_at else None,
        "workstation": revision.workstation,
        "monitor_level": revision.monitor_level,
        "printed_through": revision.print_input,
        "printed_as": revision.printed_as,
        "note": revision.note,
        "strips": [_strip(strip) for strip in sheet.strips],
    }


def mix_json(sheet: MixSheet, *, studio: str, address: str) -> bytes:
    """The same as a UTF-8 file: the same bytes for the same mix."""
    data = mix_data(sheet, studio=studio, address=address)
    return json.dumps(data, ensure_ascii=False, allow_nan=False).encode()


def mix_rows(sheet: MixSheet) -> list[list[str]]:
    """As the lists of strips have it: under the heads of `COLUMNS`."""
    return [list(cells_of(each.strip).values()) for each in sheet.strips]


def _strip(sheet: StripSheet) -> dict:
    strip = sheet.strip
    return {
        "kind": strip.kind,
        "name": strip.name,
        "plays": strip.plays,
        "played_from": strip.played_from,
        "fader_db": strip.fader_db,
        "pan_percent": strip.pan,
        "muted": strip.is_muted,
        "feeds": strip.leads_to,
        "sends": [
            {"to": send.to, "level": send.level, "tap": send.tap} for send in strip.sends.all()
        ],
        "inserts": [_insert(insert) for insert in sheet.inserts],
        "note": strip.note,
    }


def _insert(sheet: InsertSheet) -> dict:
    insert, unit = sheet.insert, sheet.insert.facts.unit
    jacks = {"patched_in": insert.facts.patch_in, "patched_out": insert.facts.patch_out}
    return {
        "tag": unit.tag,
        "model": f"{unit.model}",
        "serial_number": unit.serial_number,
        "monitor_only_while_tracking": list(sheet.heard_on),
        **{name: f"{jack.name} {jack.label}" if jack else None for name, jack in jacks.items()},
        "controls": [
            {
                "label": setting.reading.label,
                "group": group.name,
                "value": setting.value,
                "unit": setting.control.unit,
                "reads": setting.reading.value_text,
                "stands_at": setting.reading.clock_text,
            }
            for group in sheet.groups
            for setting in group.controls
        ],
        "note": insert.note,
    }
