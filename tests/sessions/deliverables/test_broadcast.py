"""What a recorder wrote into a file, in words."""

from sessions.deliverables.broadcast import notes_inside
from tests.factories import DeliverableFileFactory


def test_notes_inside_leave_out_what_is_not_written():
    bext = {
        "description": "Rough mix",
        "originator": "",
        "originator_reference": "",
        "origination_date": "2025-03-14",
        "origination_time": "10:00:00",
        "coding_history": "",
        "time_reference": 48_000 * 3661 + 5,
    }
    ixml = {"project": "", "scene": "", "tape": "", "take": "7", "track_names": ["Ld Vox", "Bass"]}

    assert notes_inside(DeliverableFileFactory.build(bext=bext, ixml=ixml)) == [
        ("Description", "Rough mix"),
        ("Date", "2025-03-14"),
        ("Time", "10:00:00"),
        ("Time stamp", "01:01:01 and 5 samples (175,728,005 samples after midnight)"),
        ("Take", "7"),
        ("Tracks", "Ld Vox, Bass"),
    ]
    assert notes_inside(DeliverableFileFactory.build()) == []
