"""An imported sheet is shown as the house that wrote it shows its own: alike to the letter, from the
file alone."""

import json

import pytest
import time_machine
from django.template.loader import render_to_string
from jsonschema import Draft202012Validator

from sessions.recall.imported.shown.sheet import sheet_told
from sessions.recall.models import ImportedSheet
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data, recall_json
from sessions.recall.sheet.schema import EXAMPLE_FILE, SCHEMA_FILE
from sessions.setups.models import Revision
from sessions.songs.models import Part, Song
from studio.demo.band_day import band_day
from studio.demo.equipment import fill_equipment
from studio.demo.people import fill_people, fill_projects
from studio.demo.songs import fill_songs
from studio.demo.work import Work
from tests.factories import MeasurementFactory, PlacementFactory
from tests.sessions.recall.imported.test_reading import CHAIN, RECALL, STAGE, chain_with
from tests.sessions.recall.patched import patched_vocal, sheet_of
from tests.sessions.recall.sound.measurements import AT, TONES, found

pytestmark = pytest.mark.django_db
EXAMPLE_ADDRESS = "https://studio.quay-steps.example/songs/1/recall-sheet/"
WHOLE = "sessions/recall/sheet/_whole.html"


def shown(sheet) -> str:
    return render_to_string(WHOLE, {"sheet": sheet, "pages_open": ""})


def as_imported(data: dict) -> ImportedSheet:
    """Another house's: nothing of it is in the database."""
    return ImportedSheet(pk=1, data=data, studio="Oriel Yard", title=data["song"]["title"])


def written(sheet) -> dict:
    return json.loads(recall_json(sheet, studio="Oriel Yard", address="https://x.example/"))


@pytest.fixture
def songs():
    """Of the demo's band day, on a day that never changes."""
    with time_machine.travel("2026-11-28T10:00:00Z", tick=False):
        fill_equipment()
        people = fill_people()
        projects = fill_projects(people)
        work = Work(people, projects, fill_songs(projects, people))
        band_day(work)
        measure_cornets(by=work.engineer)
        loaded = Song.objects.select_related("project__client").order_by("title")
        yield list(loaded.filter(takes__isnull=False).distinct())


def measure_cornets(*, by) -> None:
    """The cornet's revisions: the whole chain by a test file, and by tones up to the preamplifier."""
    for revision in Revision.objects.filter(chain__track="Cnt").order_by("pk"):
        facts = {"revision": revision, "cautions_by": by, "measured_at": AT}
        MeasurementFactory(**facts, result=found().as_json())
        MeasurementFactory(**facts, of_tones=True, tones=TONES, up_to=2)


def test_sheets_of_a_band_day_are_shown_alike_from_their_files(songs, django_assert_num_queries):
    parts = Part.objects.filter(song=songs[0]).select_related("song__project__client")
    subjects = [*songs, *parts]
    assert len(subjects) > 5
    for subject in subjects:
        sheet = recall_sheet(subject)
        imported = as_imported(written(sheet))
        own = shown(sheet)

        with django_assert_num_queries(0):
            told = shown(sheet_told(imported))

        assert told == own

    assert_example_is_up_to_date(parts.get(name="Cornet"))


def assert_example_is_up_to_date(part: Part) -> None:
    """The example in the repository is what is written today: delete it, run this twice, commit it."""
    sheet = recall_sheet(part)
    data = recall_data(sheet, studio="Quay Steps Studio", address=EXAMPLE_ADDRESS)
    today = json.dumps(data, ensure_ascii=False, indent=2) + "\n"
    if not EXAMPLE_FILE.exists():
        EXAMPLE_FILE.write_text(today, "utf-8")
        pytest.fail(f"{EXAMPLE_FILE.name} was missing and is written anew.")

    # PostgreSQL gives the keys of what was stored as JSON in another order.
    assert json.loads(EXAMPLE_FILE.read_text("utf-8")) == json.loads(today)
    assert list(Draft202012Validator(json.loads(SCHEMA_FILE.read_text())).iter_errors(data)) == []
    assert len(data["chains"]) > 0


def test_patched_vocal_is_shown_alike_with_what_its_singer_heard():
    sheet = sheet_of(patched_vocal())

    told = shown(sheet_told(as_imported(written(sheet))))

    assert told == shown(sheet)
    assert "breaks</strong> the full normal" in told.replace("\xa0", " ")
    assert "Click: just there, left" in told


def test_file_is_never_filled_up_from_our_own_record(django_assert_num_queries):
    """A revision of ours has the number that the first chain of the file has."""
    placed = PlacementFactory(distance_cm="12.5", note="Ours.")
    data = chain_with(place=placed.revision_id)
    assert Revision.objects.filter(pk=placed.revision_id).exists()

    with django_assert_num_queries(0):
        told = shown(sheet_told(as_imported(data)))

    assert "Placement not logged" in told
    assert "Ours." not in told


RIBBON = STAGE["unit"]["model"] | {"category": "microphone", "transducer": "ribbon"}
PHANTOM = STAGE["panel"]["controls"][0] | {
    "key": "48v",
    "label": "48 V",
    "kind": "switch",
    "unit": "",
    "meaning": "phantom",
    "marks": [{"value": 0, "angle": 0, "label": "off"}, {"value": 1, "angle": 1, "label": "on"}],
}


def test_cautions_are_ours_from_the_facts_in_the_file():
    """A ribbon hangs upside down before a preamplifier whose 48 V was logged as on."""
    ribbon = STAGE | {
        "unit": STAGE["unit"] | {"asset_tag": "M-09", "model": RIBBON},
        "panel": None,
        "settings": {},
    }
    giving = STAGE | {
        "position": 2,
        "panel": {"version": 1, "controls": [PHANTOM]},
        "settings": {"48v": 1},
    }
    names = ("distance_cm", "height_cm", "angle_deg", "pop_filter_cm")
    placement = dict.fromkeys(names) | {
        "orientation": "hung",
        "pattern": "",
        "pop_filter": False,
        "note": "Clear of the music stand.",
    }
    data = chain_with(stages=[ribbon, giving], placement=placement)

    told = shown(sheet_told(as_imported(data)))

    assert "Keep phantom power off" in told
    assert "never 48 V" in told
    assert "A cable is no safety line" in told
    assert "Clear of the music stand." in told


def test_phantom_switch_of_four_inputs_is_known_from_the_file():
    """The condenser's chain has no ribbon, but its switch serves one in another."""
    shared = STAGE["unit"] | {"channels": 8, "inputs_per_phantom_switch": 4}
    panel = {"version": 1, "controls": [PHANTOM]}
    ribbon = STAGE | {
        "unit": STAGE["unit"] | {"asset_tag": "M-09", "model": RIBBON},
        "panel": None,
        "settings": {},
    }
    needs = {"category": "microphone", "transducer": "condenser", "phantom": "needed"}
    condenser = ribbon | {
        "unit": ribbon["unit"] | {"asset_tag": "M-10", "model": RIBBON | needs | {"name": "Other"}}
    }

    def fed(microphone: dict, *, place: int, channel: int) -> dict:
        inputs = STAGE | {"position": 2, "panel": panel, "settings": {}}
        inputs = inputs | {"unit": shared | {"channel": channel}}
        return CHAIN | {"place": place, "track": f"{place}", "stages": [microphone, inputs]}

    def phantom_of(channel: int) -> list[str]:
        chains = [fed(ribbon, place=1, channel=1), fed(condenser, place=2, channel=channel)]
        return [
            track.phantom for track in sheet_told(as_imported(RECALL | {"chains": chains})).tracks
        ]

    assert phantom_of(2) == ["never 48 V", "no 48 V: one needs it, the other is damaged"]
    assert phantom_of(5) == ["never 48 V", "48 V on"]
