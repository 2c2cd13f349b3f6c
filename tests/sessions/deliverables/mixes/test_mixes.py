"""What a mix was made through: logged as a table, locked by what was printed, recalled as it stood."""

import json

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from gear.equipment.models import Category, Phantom, SignalLevel
from sessions.clients.orders import DeliverableKind
from sessions.deliverables.mixes.actions import point_to, point_to_newest, save_mix
from sessions.deliverables.mixes.data import mix_data
from sessions.deliverables.mixes.lines import lines_of
from sessions.deliverables.mixes.models import MixRevision, MixSetup
from sessions.deliverables.mixes.sheet import mix_sheet
from sessions.deliverables.models import Deliverable
from sessions.setups.models import Path
from tests.factories import (
    DeliverableFactory,
    GearModelFactory,
    MixInsertFactory,
    MixRevisionFactory,
    MixSendFactory,
    MixStripFactory,
    PartFactory,
    RevisionFactory,
    SongFactory,
    UnitFactory,
)
from tests.sessions.setups.building import compressor, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def song():
    return SongFactory(title="Neap and Spring")


@pytest.fixture
def squeezed(song):
    """Bass through a compressor, to the stereo bus; some of it sent to a hall."""
    revision = MixRevisionFactory(setup__project=song.project, setup__songs=[song])
    bass = MixStripFactory(revision=revision, name="Bass", fader_db=-6.5, pan=-30)
    unit = compressor()
    MixInsertFactory(strip=bass, unit=unit, panel=unit.model.panels.get(), settings={"ratio": 4})
    MixSendFactory(strip=bass)
    MixStripFactory(revision=revision, kind="return", name="Hall")
    MixStripFactory(revision=revision, kind="stereo_bus", name="Stereo bus")
    return revision


def page(name, thing):
    return reverse(f"mixes:{name}", args=[thing.pk])


def loaded(revision):
    return MixRevision.objects.with_strips().get(pk=revision.pk)


def printed(revision):
    return mix_data(mix_sheet(loaded(revision)), studio="Quay Steps", address="/")


def typed(revision, *new, **changes):
    """The table as the page has it, with more lines and, by line and column, changed cells."""
    rows = [
        {"was": s.position, "kind": s.kind, "name": s.name, "fader_db": s.fader_text}
        | {"pan": s.pan_text, "inserts": ", ".join(i.tag for i in s.inserts.all())}
        | {"sends": "; ".join(map(str, s.sends.all()))}
        for s in loaded(revision).strips.all()
    ]
    rows += new
    sent = {"seen": revision.setup.version, "lines": len(rows)}
    for number, row in enumerate(rows):
        sent |= {f"s{number}-{name}": value for name, value in row.items()}
    return sent | changes


def test_mix_is_logged_as_a_table(client_of, assistant, song):
    client = client_of(assistant)
    unit = UnitFactory(asset_tag="EQ-01", model=GearModelFactory(channels=2))
    client.post(page("create", song), {"name": "Rough mixes", "songs": [song.pk]})
    setup = MixSetup.objects.get()
    bass = {"kind": "channel", "name": "Bass", "plays": "Bass DI", "played_from": "Output 3"}
    bass |= {"fader_db": "-6.5", "pan": "l30", "sends": "hall −12 dB PRE", "feeds": "low"}
    hall = {"kind": "return", "name": "Hall", "fader_db": "−∞", "pan": "1:30"}
    low = {"kind": "bus", "name": "Low", "inserts": "EQ-01/2", "is_muted": "on"}
    nothing = {"kind": "channel"}
    first = setup.newest_revision()

    client.post(
        page("edit", setup), typed(first, low, hall, bass, nothing, print_input="Inputs 15 and 16")
    )

    saved = setup.newest_revision()
    strips = [(s.name, s.fader_text, s.pan_text, s.leads_to) for s in saved.strips.all()]
    assert (saved.pk, saved.print_input) == (first.pk, "Inputs 15 and 16")
    assert strips == [
        ("Bass", "−6.5 dB", "L30", "Low"),
        ("Hall", "−∞", "R30", "Stereo bus"),
        ("Low", "", "", "Stereo bus"),
        ("Stereo bus", "", "", ""),
    ]
    assert [str(send) for strip in saved.strips.all() for send in strip.sends.all()] == [
        "Hall −12 dB pre"
    ]
    assert [(insert.unit, insert.channel) for insert in saved.inserts()] == [(unit, 2)]
    assert client.get(setup.get_absolute_url()).status_code == 200


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("sends", "Plate −12 dB"),
        ("sends", "Hall −12 dB; hall −3 dB"),
        ("inserts", "XX-99"),
        ("fader_db", "30"),
        ("pan", "L130"),
        ("feeds", "Nowhere"),
        ("name", "Hall"),
        ("name", ""),
    ],
)
def test_cell_that_can_not_be_so_is_told_and_nothing_is_saved(
    client_of, engineer, squeezed, column, cell
):
    before = lines_of(loaded(squeezed))

    answer = client_of(engineer).post(
        page("edit", squeezed.setup), typed(squeezed, **{f"s0-{column}": cell})
    )

    forms = answer.context["form"].strips
    told = {name for form in forms for name in form.errors}
    assert (told, lines_of(loaded(squeezed))) == ({column}, before)
    assert forms[0][column].value() == cell


def test_second_of_two_editors_gets_both_versions(client_of, engineer, assistant, squeezed):
    edit = page("edit", squeezed.setup)
    theirs, ours = typed(squeezed, **{"s0-fader_db": "−3"}), typed(squeezed, **{"s0-pan": "C"})

    client_of(assistant).post(edit, theirs)
    answer = client_of(engineer).post(edit, ours)

    assert answer.status_code == 409
    assert answer.context["meanwhile"].entry.history_user == assistant
    assert answer.context["meanwhile"].differences == [
        ("Line 1, fader", "−3 dB", "−6.5 dB"),
        ("Line 1, pan", "L30", "C"),
    ]
    client_of(engineer).post(edit, ours | {"seen": answer.context["seen"]})
    assert loaded(squeezed).strips.first().pan_text == "C"


def test_printed_revision_stays_as_it_was(client_of, engineer, squeezed, song):
    client = client_of(engineer)
    mix = point_to(DeliverableFactory(song=song), squeezed, by=engineer)
    before = printed(squeezed)
    unit = loaded(squeezed).inserts()[0].unit

    client.post(page("edit", squeezed.setup), typed(squeezed, **{"s0-name": "Low end"}))
    now = squeezed.setup.newest_revision()
    insert = now.inserts()[0]
    sent = {"seen": MixSetup.objects.get().version, "control-ratio": "2:1", "note": "Softer"}
    client.post(page("insert", insert), sent)
    unit.asset_tag = "CO-77"
    unit.save()

    now = squeezed.setup.newest_revision()
    assert (now.number, now.strips.first().name, now.inserts()[0].settings) == (
        2,
        "Low end",
        {"ratio": 2},
    )
    assert printed(squeezed) == before
    assert mix.mix_revision == squeezed
    assert client.get(page("insert", loaded(squeezed).inserts()[0])).status_code == 404


def test_same_table_saved_again_is_no_edit(engineer, squeezed, song):
    point_to(DeliverableFactory(song=song), squeezed, by=engineer)
    facts = {name: getattr(squeezed, name) for name in MixRevision.FACTS}
    lines = lines_of(loaded(squeezed))

    save_mix(squeezed.setup, version=1, by=engineer, facts=facts, lines=lines)

    assert squeezed.setup.newest_revision() == squeezed


def test_database_keeps_what_was_printed(engineer, squeezed, song):
    other = DeliverableFactory(song=song)
    with pytest.raises(IntegrityError), transaction.atomic():
        Deliverable.objects.filter(pk=other.pk).update(mix_revision=squeezed)
    point_to(other, squeezed, by=engineer)
    strip = squeezed.strips.first()

    for row in (squeezed, strip, strip.inserts.get(), strip.sends.get()):
        row.note = row.level = "otherwise"
        with pytest.raises(IntegrityError), transaction.atomic():
            type(row).objects.get(pk=row.pk).save()
        with pytest.raises(IntegrityError), transaction.atomic():
            type(row).objects.filter(pk=row.pk).delete()


def test_mix_points_to_what_its_song_was_mixed_through_last(engineer, squeezed, song):
    MixRevisionFactory(setup__project=song.project)  # of no song
    rough = DeliverableFactory(song=song, kind=DeliverableKind.ROUGH_MIX)
    elsewhere = DeliverableFactory()

    for deliverable in (rough, elsewhere):
        point_to_newest(deliverable, by=engineer)

    assert (rough.mix_revision, elsewhere.mix_revision) == (squeezed, None)
    assert loaded(squeezed).is_fixed


def test_what_was_monitor_only_while_tracking_is_told(client_of, engineer, squeezed, song):
    """[mic]--[pre]--track, and beside it --[compressor]-- into the headphones; in the mix [compressor] is printed."""
    unit = loaded(squeezed).inserts()[0].unit
    part = PartFactory(song=song)
    recorded = RevisionFactory(chain__source="Low voices", chain__track="Qrt TB", chain__part=part)
    stage(recorded, microphone())
    stage(recorded, unit, path=Path.MONITOR_ONLY)
    rough = point_to(DeliverableFactory(song=song), squeezed, by=engineer)

    [told] = mix_sheet(loaded(squeezed)).heard_only
    shown = client_of(engineer).get(rough.get_absolute_url())

    assert (told.insert.unit, told.heard_on) == (unit, (str(recorded.chain),))
    assert shown.context["heard_only"] == [unit.asset_tag]


def test_record_that_speaks_against_the_mix_is_shown(squeezed):
    strip = squeezed.strips.first()
    pre, ribbon = preamplifier(input_level=SignalLevel.LINE), microphone(phantom=Phantom.HARMFUL)
    amplifier = UnitFactory(
        model=GearModelFactory(category=Category.AMPLIFIER, output_level=SignalLevel.SPEAKER)
    )
    panel = pre.model.panels.get()
    MixInsertFactory(strip=strip, position=2, unit=pre, panel=panel, settings={"p48": 1})
    MixInsertFactory(strip=strip, position=3, unit=ribbon)
    MixInsertFactory(strip=strip, position=4, unit=amplifier)

    dangers = [each.reason for each in mix_sheet(loaded(squeezed)).warnings if each.is_safety]

    assert dangers == [
        f"Bass: 48 V is logged on at {pre}, and can damage {ribbon}.",
        f"Bass: {amplifier} comes out at loudspeaker level, which can damage a line input.",
    ]


def test_phantom_power_that_does_harm_is_asked_about_before_it_is_saved(
    client_of, engineer, squeezed
):
    strip = squeezed.strips.first()
    pre = preamplifier()
    MixInsertFactory(strip=strip, position=2, unit=microphone(phantom=Phantom.HARMFUL))
    insert = MixInsertFactory(strip=strip, position=3, unit=pre, panel=pre.model.panels.get())
    sent = {"seen": squeezed.setup.version, "control-p48": "on"}

    answer = client_of(engineer).post(page("insert", insert), sent)
    insert.refresh_from_db()
    assert (list(answer.context["form"].errors), insert.settings) == (["control-p48"], {})
    client_of(engineer).post(page("insert", insert), sent | {"is_sure": "1"})

    insert.refresh_from_db()
    assert insert.settings == {"p48": 1}


def test_copy_for_another_song_is_yet_to_be_set(client_of, engineer, squeezed):
    other = SongFactory(title="Seven Bells Round")
    client = client_of(engineer)

    client.post(
        page("create", other), {"name": "As before", "songs": [other.pk], "like": squeezed.pk}
    )
    copy = MixSetup.objects.get(name="As before")

    assert [
        (insert.settings, insert.not_yet_set) for insert in copy.newest_revision().inserts()
    ] == [({"ratio": 4}, ["ratio"])]
    assert loaded(squeezed).not_yet_set == 0
    client.post(page("confirm", copy), {"seen": copy.version})
    assert copy.newest_revision().not_yet_set == 0


@pytest.mark.parametrize("count", [1, 3])
def test_pages_cost_the_same_queries(
    client_of, engineer, squeezed, django_assert_num_queries, count
):
    for _ in range(count):
        unit = compressor()
        strip = MixStripFactory(revision=squeezed)
        MixInsertFactory(strip=strip, unit=unit, panel=unit.model.panels.get())
        MixSendFactory(strip=strip)
    client = client_of(engineer)

    with django_assert_num_queries(10):
        client.get(squeezed.get_absolute_url())
    with django_assert_num_queries(15):
        client.get(page("edit", squeezed.setup))


def test_mix_leaves_the_house_as_data(client_of, engineer, squeezed):
    client = client_of(engineer)

    data = json.loads(client.get(page("revision_json", squeezed)).content)
    table = b"".join(client.get(page("revision_csv", squeezed)).streaming_content).decode()

    strip = data["strips"][0]
    assert (strip["fader_db"], strip["pan_percent"]) == (-6.5, -30)
    assert strip["inserts"][0]["controls"][0] == {
        "label": "Ratio",
        "group": "",
        "value": 4,
        "unit": ":1",
        "reads": "4:1",
        "stands_at": "2:00",
    }
    assert [row.split(",")[1] for row in table.splitlines()[1:]] == ["Bass", "Hall", "Stereo bus"]
