import pytest

from sessions.setups.chains.summary import Completeness, completeness, path_in_words
from sessions.setups.models import Path
from sessions.setups.models.chains import ARROW
from sessions.setups.patching.connections import connections
from tests.factories import RevisionFactory
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    stage,
)

pytestmark = pytest.mark.django_db


def test_path_in_words_runs_from_source_to_track():
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, source="Alto voice", track="Ld Vox")
    stage(revision, pre, path=Path.MONITOR_ONLY)

    assert path_in_words(loaded(revision)) == (
        ARROW.join(["Alto voice", f"{mic}", "Ld Vox"]) + f"; monitor only: {pre}"
    )


def test_completeness_counts_controls_that_were_logged():
    """[mic: no panel] -- [pre: gain 35, 48 V not logged] -- [comp: ratio and meter not logged]"""
    revision = RevisionFactory()
    stage(revision, microphone())
    stage(revision, preamplifier(), settings={"gain": 35, "gone": 1})
    stage(revision, compressor())

    found = completeness(loaded(revision))

    assert found == Completeness(logged=1, total=4)
    assert str(found) == "1 of 4 controls logged, 25 %"


def test_completeness_counts_a_setting_of_zero_as_logged():
    revision = RevisionFactory()
    stage(revision, preamplifier(), settings={"gain": 0, "p48": 0})

    assert completeness(loaded(revision)).per_cent == 100


def test_completeness_is_rounded_but_never_up_to_all_and_says_when_there_is_nothing_to_log():
    assert Completeness(14, 21).per_cent == 67
    assert Completeness(199, 200).per_cent == 99
    assert Completeness(0, 0).per_cent is None
    assert str(Completeness(0, 0)) == "no controls to log"


def test_connections_pass_by_what_is_monitor_only():
    """
    [mic] -- [pre] -------------- [comp] -- Input 1
               └── [box: monitor only]
    """
    mic, pre, box, comp = microphone(), preamplifier(), preamplifier(), compressor()
    revision = RevisionFactory(chain__destination_input="Input 1")
    stage(revision, mic)
    stage(revision, pre)
    stage(revision, box, path=Path.MONITOR_ONLY)
    stage(revision, comp)

    made = connections(loaded(revision))

    assert [(one.source.unit, one.destination and one.destination.unit) for one in made] == [
        (mic, pre),
        (pre, box),
        (pre, comp),
        (comp, None),
    ]
    assert made[-1].destination_input == "Input 1"


def test_sheet_of_a_revision_costs_the_same_queries_however_long(django_assert_num_queries):
    """One for the revision, one for the stages, one for their controls."""
    short, long = revision_of(preamplifier()), revision_of(*[preamplifier() for _ in range(3)])

    for revision in (short, long):
        with django_assert_num_queries(7):
            sheet = loaded(revision)
            path_in_words(sheet)
            completeness(sheet)
            connections(sheet)
            assert sheet.chain.setup.session.project.sample_rate == 48_000
