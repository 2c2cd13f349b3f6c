"""Copied is not set: the day before's setup as a start, until each control is touched."""

import pytest
from django.urls import reverse

from gear.panels.models import Kind, Meaning
from sessions.setups.chains.actions import (
    Seen,
    change_stage,
    copy_chain,
    fix_revision,
    open_revision,
)
from sessions.setups.chains.summary import Completeness, completeness
from sessions.setups.copying.actions import copy_setup
from sessions.setups.editor.actions import confirm_copied, set_field
from sessions.setups.models import Setup
from sessions.setups.sources.actions import change_source
from tests.factories import ControlFactory, PanelFactory, RecordingSessionFactory, SetupFactory
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    supply,
    switch,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def yesterday():
    """Microphone, supply (on, warm), preamplifier and a compressor that showed 4 dB."""
    unit = supply()
    switch(PanelFactory(model=unit.model), key="power", label="Power", meaning=Meaning.POWER)
    revision = revision_of(microphone(), unit, preamplifier(), compressor())
    stages = list(revision.stages.all())
    for stage, settings in zip(
        stages, [{}, {"power": 1}, {"gain": 36, "p48": 0}, {"ratio": 4, "gr": 4}], strict=True
    ):
        stage.settings = settings
        stage.note = "as it was"
        stage.reading_out_dbu = -12
        stage.save()
    fix_revision(revision)
    return revision


@pytest.fixture
def today(yesterday, engineer) -> Setup:
    later = RecordingSessionFactory(project=yesterday.chain.setup.session.project)
    return copy_setup(yesterday.chain.setup, to=later, name="Today", by=engineer).copy


def newest(setup):
    return setup.chains.get().newest_revision()


def test_copy_leaves_readings_and_a_supply_that_was_on_empty_and_marks_the_rest(yesterday, today):
    stages = list(newest(today).stages.all())

    assert [stage.settings for stage in stages] == [{}, {}, {"gain": 36, "p48": 0}, {"ratio": 4}]
    assert [stage.not_yet_set for stage in stages] == [[], [], ["gain", "p48"], ["ratio"]]
    assert [stage.note for stage in stages] == ["as it was", "", "as it was", "as it was"]
    assert {stage.reading_out_dbu for stage in stages} == {None}
    assert newest(today).not_yet_set == 3
    assert loaded(yesterday).not_yet_set == 0


def test_copied_is_not_counted_as_logged(yesterday, today):
    assert completeness(loaded(yesterday)) == Completeness(logged=5, total=5)
    copied = completeness(newest(today))
    assert copied == Completeness(logged=0, total=5, copied=3)
    assert str(copied) == "0 of 5 controls logged, 0 %; 3 copied, not yet set"


def test_control_that_is_turned_or_touched_is_set_and_others_stay_marked(today, engineer):
    revision = newest(today)
    key = f"{revision.stages.get(position=3).unit_id}"
    set_field(revision.chain, key=key, name="control-gain", was=36, value=30, by=engineer)
    assert newest(today).stages.get(position=3).not_yet_set == ["p48"]

    set_field(revision.chain, key=key, name="control-p48", was=0, value=0, by=engineer)
    assert newest(today).not_yet_set == 1  # the ratio

    stage = newest(today).stages.get(position=4)
    seen = Seen.of(newest(today))
    change_stage(stage, seen=seen, by=engineer, settings={"ratio": 2, "gr": 3})
    assert newest(today).not_yet_set == 0


def test_unit_is_confirmed_at_one_press(client, engineer, today):
    client.force_login(engineer)
    chain = today.chains.get()
    key = f"{newest(today).stages.get(position=3).unit_id}"

    answer = client.post(reverse("editor:confirm", args=[chain.pk]), {"stage": key})

    assert answer.status_code == 302
    assert newest(today).stages.get(position=3).settings == {"gain": 36, "p48": 0}
    assert newest(today).not_yet_set == 1
    gone = client.post(reverse("editor:confirm", args=[chain.pk]), {"stage": "0"})
    assert gone.status_code == 302


def test_take_that_was_recorded_so_says_so_for_ever(today, engineer):
    recorded = newest(today)
    fix_revision(recorded)

    after = confirm_copied(
        recorded.chain, key=f"{recorded.stages.get(position=3).unit_id}", by=engineer
    )

    assert (loaded(recorded).not_yet_set, loaded(after).not_yet_set) == (3, 1)
    assert after.number == 2


def test_next_revision_of_a_recorded_chain_is_no_such_copy(yesterday, engineer):
    after = open_revision(yesterday.chain, by=engineer)

    assert loaded(after).not_yet_set == 0
    assert after.stages.get(position=4).settings == {"ratio": 4, "gr": 4}


def test_second_chain_through_the_same_unit_of_a_setup_finds_its_knobs_set(yesterday, engineer):
    """The compressor stands as it is; but what its meter shows is of another part."""
    yesterday.chain.setup.refresh_from_db()
    copy = copy_chain(
        yesterday.chain, to=yesterday.chain.setup, by=engineer, source="Harmony", track="Harmony"
    )
    there = copy_chain(yesterday.chain, to=SetupFactory(), by=engineer, source="Lead", track="Ld")

    assert copy.newest_revision().not_yet_set == 0
    assert copy.newest_revision().stages.get(position=4).settings == {"ratio": 4}
    assert there.newest_revision().not_yet_set == 3


def test_amplifier_of_a_copied_source_is_not_yet_set_either(engineer):
    revision = revision_of(microphone())
    source = revision.chain.source
    amplifier = preamplifier(category="amplifier")
    panel = amplifier.model.panels.get()
    ControlFactory(panel=panel, key="hum", kind=Kind.READING, position=9, marks=[])
    source.amplifier, source.panel = amplifier, panel
    source.settings = {"gain": 20, "hum": 3}
    source.save()
    copied = copy_setup(
        revision.chain.setup, to=RecordingSessionFactory(), name="Later", by=engineer
    ).copy

    source = copied.sources.get()
    assert (source.settings, source.not_yet_set) == ({"gain": 20}, ["gain"])
    assert completeness(newest(copied)) == Completeness(0, 3, 0, 1)

    change_source(source, version=source.version, by=engineer, settings={"gain": 25})
    assert completeness(newest(copied)) == Completeness(1, 3, 0, 0)
