"""A source feeds one chain or several; what is said of it, and how its amplifier is set, is kept with
each revision that takes were recorded through."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import Category
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data
from sessions.setups.chains.actions import add_chain, change_chain, fix_revision
from sessions.setups.chains.actions.revisions import Seen
from sessions.setups.comparing.comparison import compare
from sessions.setups.copying.actions import copy_setup
from sessions.setups.models import Revision, Source
from sessions.setups.sources.actions import change_source
from sessions.setups.warnings import chain_warnings
from sessions.takes.models import Take
from tests.factories import (
    ChainFactory,
    ControlFactory,
    PanelFactory,
    PartFactory,
    PersonFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.setups.building import loaded, microphone, revision_of, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def amplifier():
    """A guitar amplifier with one knob, from 0 to 8"""
    unit = UnitFactory(asset_tag="GA-1", model__category=Category.AMPLIFIER)
    marks = [{"value": 0, "angle": -150}, {"value": 8, "angle": 150}]
    ControlFactory(
        panel=PanelFactory(model=unit.model),
        key="drive",
        label="Drive",
        kind="continuous",
        unit="",
        marks=marks,
    )
    return unit


@pytest.fixture
def guitar(amplifier):
    """[DI box]      -- Gtr DI
    guitar <
              [amplifier] ) [microphone] -- Gtr amp"""
    setup = SetupFactory()
    source = Source.objects.create(
        setup=setup,
        name="Guitar",
        performer=PersonFactory(name="Odile Marrack"),
        place="By the stairs",
        tuning_hz=442,
        tuning="drop D",
        amplifier=amplifier,
        panel=amplifier.model.current_panel(),
        settings={"drive": 5},
    )
    box = UnitFactory(model__category=Category.DI_BOX)
    for track, first in (("Gtr DI", box), ("Gtr amp", microphone())):
        stage(revision_of(setup=setup, source=source, track=track), first, panel=None)
    return source


def newest(source, track="Gtr amp"):
    return loaded(Revision.objects.newest().get(chain__source=source, chain__track=track))


def address(source):
    return reverse("setups:source", args=[source.pk])


def change(source, by, **facts):
    return change_source(source, version=source.version, by=by, **facts)


def test_two_chains_of_one_name_take_one_source(engineer):
    setup = SetupFactory()

    chains = [
        add_chain(setup, by=engineer, source=name, track=name) for name in ("Bass", "bass", "Horn")
    ]

    assert [str(chain.source) for chain in chains] == ["Bass", "Bass", "Horn"]
    assert [source.name for source in setup.sources.all()] == ["Bass", "Horn"]


def test_source_that_nobody_takes_any_more_goes_unless_something_is_said_of_it(engineer):
    setup = SetupFactory()
    Source.objects.create(setup=setup, name="Horn", tuning="in F")
    for name in ("Bas", "Horn"):
        chain = add_chain(setup, by=engineer, source=name, track=name)
        change_chain(chain, seen=Seen.of(chain.newest_revision()), by=engineer, source="Bass")

    assert [source.name for source in setup.sources.all()] == ["Horn", "Bass"]


def test_source_is_heard_through_one_amplifier(guitar):
    guitar.own_amplifier = "a small one of their own"

    with pytest.raises(ValidationError, match="one amplifier"):
        guitar.full_clean()


def test_each_chain_says_who_else_takes_the_source_and_only_a_microphone_hears_the_amplifier(
    guitar,
):
    boxed, heard = newest(guitar, "Gtr DI"), newest(guitar)

    assert dict(heard.source_facts.in_words) == {
        "performer": "Odile Marrack",
        "place": "By the stairs",
        "tuning": "A = 442 Hz, drop D",
        "amplifier": f"{guitar.amplifier}",
        "also feeds": "Gtr DI",
    }
    assert boxed.source_facts.also == ("Gtr amp",)
    assert [(control.label, value) for control, value in heard.amplifier_settings()] == [
        ("Drive", 5)
    ]
    assert boxed.amplifier_settings() == []


def test_change_of_the_amplifier_goes_on_in_the_next_revision_and_leaves_what_was_recorded(
    guitar, engineer
):
    first = newest(guitar)
    fix_revision(first)

    change(guitar, engineer, settings={"drive": 7}, tuning="")

    then, now = loaded(first), newest(guitar)
    assert (then.number, then.source_facts.settings, then.source_facts.tuning) == (
        1,
        {"drive": 5},
        "drop D",
    )
    assert (now.number, now.source_facts.settings) == (2, {"drive": 7})
    assert newest(guitar, "Gtr DI").number == 1
    assert [
        (row.where, row.what, row.before[:1], row.after[:1]) for row in compare(then, now).rows
    ] == [
        ("Chain", "Tuning", "A", "A"),
        ("Amplifier", "Drive", "5", "7"),
    ]


def test_change_while_a_take_rolls_is_logged_on_it(guitar, engineer):
    part = PartFactory(song__project=guitar.setup.session.project)
    first = newest(guitar)
    fix_revision(first)
    take = TakeFactory(
        part=part, session=guitar.setup.session, started_at=timezone.now(), ended_at=None
    )
    record(take, first)

    change(guitar, engineer, settings={"drive": 7})

    through = Take.objects.get(pk=take.pk).through.order_by("pk")
    assert [each.revision.source_facts.settings for each in through] == [{"drive": 5}, {"drive": 7}]
    assert through[1].revision.is_fixed


def test_second_editor_overwrites_nothing(guitar, engineer):
    change(guitar, engineer, tuning="open G")

    with pytest.raises(EditedMeanwhile):
        change_source(guitar, version=1, by=engineer, tuning="capo 3")

    assert Source.objects.get().tuning == "open G"


def test_copied_setup_has_sources_of_its_own(guitar, engineer):
    di = newest(guitar, "Gtr DI").chain
    Source.objects.create(setup=guitar.setup, name="Guitar, again", played_from=di)
    add_chain(guitar.setup, by=engineer, source="Guitar, again", track="Gtr re-amp")
    to = RecordingSessionFactory(project=guitar.setup.session.project)

    copy = copy_setup(guitar.setup, to=to, name="Evening", by=engineer).copy

    live, again = copy.sources.order_by("pk")
    assert (live.name, live.tuning, live.settings, live.amplifier) == (
        "Guitar",
        "drop D",
        {"drive": 5},
        guitar.amplifier,
    )
    assert live.place == "By the stairs"
    assert [chain.track for chain in live.chains.order_by("pk")] == ["Gtr DI", "Gtr amp"]
    assert again.played_from == live.chains.get(track="Gtr DI")


def test_page_sets_the_amplifier_and_refuses_what_is_no_setting(client_of, engineer, guitar):
    client = client_of(engineer)
    typed = {"name": "Guitar", "amplifier": guitar.amplifier_id, "seen": guitar.version}

    refused = client.post(address(guitar), typed | {"control-drive": "loud"})
    saved = client.post(address(guitar), typed | {"control-drive": "6", "tuning_hz": "440"})

    assert list(refused.context["form"].errors) == ["control-drive"]
    assert saved.status_code == 302
    source = Source.objects.get()
    assert (source.settings, source.tuning_hz, source.tuning) == ({"drive": 6}, 440, "")


def test_name_stays_once_takes_were_recorded(client_of, engineer, guitar):
    fix_revision(newest(guitar))

    page = client_of(engineer).post(address(guitar), {"name": "Mandolin", "seen": guitar.version})

    assert list(page.context["form"].errors) == ["name"]


def test_page_costs_the_same_queries_for_any_number_of_chains(
    client_of, engineer, guitar, django_assert_num_queries
):
    client = client_of(engineer)
    for track in ("Gtr room", "Gtr far"):
        with django_assert_num_queries(8):
            client.get(address(guitar))
        add_chain(guitar.setup, by=engineer, source="Guitar", track=track)


def test_recall_data_hold_the_source_as_it_was(guitar, engineer):
    part = PartFactory(song__project=guitar.setup.session.project)
    revision = chain_of(part, session=guitar.setup.session, source=guitar, track="Gtr amp")
    record(TakeFactory(part=part, session=guitar.setup.session, circled=True), revision)
    change(guitar, engineer, settings={"drive": 7}, tuning_hz=None, place="In the booth")

    (chain,) = recall_data(recall_sheet(part.song), studio="Quay Steps", address="")["chains"]

    facts = chain["source_facts"]
    assert (chain["source"], facts["performer"], facts["tuning_hz"], facts["tuning"]) == (
        "Guitar",
        "Odile Marrack",
        442,
        "drop D",
    )
    assert (facts["amplifier"]["asset_tag"], facts["settings"]) == ("GA-1", {"drive": 5})
    assert facts["place"] == "By the stairs"
    assert facts["also_taken_by"] == ["Gtr DI", "Gtr amp"]


def split_chain(setup, mic, splitter, output, **facts):
    """[mic] -- [splitter, one of its outputs] -- track"""
    revision = RevisionFactory(chain=ChainFactory(setup=setup, source="Voice", **facts))
    stage(revision, mic, panel=None)
    stage(revision, splitter, panel=splitter.model.current_panel(), settings=output)
    return loaded(revision)


@pytest.mark.parametrize(
    ("house", "truck", "said"),
    [
        ({"out": 0}, {"out": 1}, "comes through “Voice"),
        ({"out": 1}, {"out": 1}, "no chain is logged on the direct output"),
        ({"out": 0}, {"out": 0}, "more than one chain is logged on the direct output"),
    ],
)
def test_chain_on_an_isolated_output_says_who_carries_its_phantom_power(house, truck, said):
    setup, mic = SetupFactory(), microphone(phantom="needed")
    splitter = UnitFactory(model__category=Category.SPLITTER)
    marks = [{"value": n, "angle": n * 30, "label": f"{n}"} for n in range(3)]
    ControlFactory(
        panel=PanelFactory(model=splitter.model),
        key="out",
        kind="stepped",
        unit="",
        meaning="split_output",
        marks=marks,
    )
    beside = [
        split_chain(setup, mic, splitter, output, track=track)
        for output, track in ((house, "House"), (truck, "Truck"))
    ]

    found = chain_warnings(beside[1], beside=beside)

    assert sum(said in warning.reason for warning in found) == 1
