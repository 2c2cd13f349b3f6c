"""A compressor's chain is microphone, preamplifier, compressor: stages 1, 2 and 3."""

from decimal import Decimal

import pytest
from django.urls import reverse

from sessions.setups.chains.actions import Seen, copy_chain, fix_revision, open_revision
from sessions.setups.levels.actions import log_levels
from sessions.setups.models import Revision
from tests.factories import SetupFactory
from tests.sessions.setups.building import compressor, loaded, microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db


def address(revision):
    return reverse("setups:levels", args=[revision.chain_id])


def typed(revision, **facts):
    return {"seen": str(Seen.of(revision))} | facts


def vocal_chain():
    return revision_of(microphone(), preamplifier(), compressor())


def test_last_level_of_a_source_of_the_same_name_is_shown(client_of, assistant):
    logged, open_one = vocal_chain(), vocal_chain()
    type(logged.chain.source).objects.update(name="Lead vocal")
    page = client_of(assistant).get(address(open_one))
    assert page.context["last_logged"] is None

    Revision.objects.filter(pk=logged.pk).update(source_spl_db=96, source_distance_cm=30)
    page = client_of(assistant).get(address(open_one))

    assert page.context["last_logged"] == logged
    assert page.context["last_logged"].source_level_text == "96 dB SPL at 30 cm"
    assert client_of(assistant).get(address(logged)).context["last_logged"] is None


def test_levels_are_logged_in_whatever_unit_was_read(client_of, assistant):
    revision = vocal_chain()

    client_of(assistant).post(
        address(revision),
        typed(
            revision,
            source_spl_db="100",
            source_distance_cm="30",
            tone_hz="1k",
            tone_dbu="-40 dBu",
            **{
                "stage-2-tone_reading_dbu": "-14 dBFS",
                "stage-2-reading_out_dbu": "1.2277 V",
                "stage-3-planned_reduction_low_db": "3",
                "stage-3-planned_reduction_high_db": "4",
            },
        ),
    )

    saved = loaded(revision)
    assert (saved.source_spl_db, saved.source_distance_cm, saved.source_dbu) == (100, 30, None)
    assert (saved.tone_hz, saved.tone_dbu, saved.readings_from) == (1000, -40, 1)
    _, pre, comp = saved.stages.all()
    assert (pre.tone_reading_dbu, pre.reading_out_dbu) == (4, Decimal("4.00"))
    assert (comp.planned_reduction_low_db, comp.planned_reduction_high_db) == (3, 4)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("tone_dbu", "loud", "−14.0 dBFS, −10.0 dBV or 1.23 V"),
        ("stage-2-tone_reading_dbu", "+3 dBFS", "no more than 0 dBFS"),
        ("stage-2-reading_out_dbu", "400", "from −150.0 dBu to +50.0 dBu"),
        ("tone_hz", "2 MHz", "from 20 Hz to 20,000 Hz"),
        ("source_spl_db", "200", "Give 160 or less"),
        ("source_distance_cm", "0", "Give 0.1 or more"),
        ("source_dbu", "-20", "either heard by a microphone or comes in by cable"),
        ("stage-3-planned_reduction_high_db", "2", "no lower than the first"),
    ],
)
def test_what_is_no_level_is_refused_beside_the_field(client_of, engineer, field, value, said):
    revision = vocal_chain()
    facts = {"source_spl_db": "100", "stage-3-planned_reduction_low_db": "3"} | {field: value}

    page = client_of(engineer).post(address(revision), typed(revision, **facts))

    assert page.status_code == 200
    assert said in str(page.context["form"].errors[field])
    assert loaded(revision).source_spl_db is None


def test_second_editor_of_the_levels_gets_both_versions(client_of, engineer, assistant):
    revision = vocal_chain()
    seen = typed(revision, source_spl_db="100", **{"stage-2-tone_reading_dbu": "4"})
    client_of(assistant).post(address(revision), typed(revision, source_spl_db="90"))

    page = client_of(engineer).post(address(revision), seen)

    assert page.status_code == 409
    assert loaded(revision).source_spl_db == 90
    assert page.context["rows"] == [
        ("Source level", "90.0", "100"),
        ("Tone at the output of unit 2", "", "4"),
    ]


def logged(revision, by):
    return log_levels(
        revision.chain,
        seen=Seen.of(revision),
        by=by,
        facts={"source_spl_db": 100, "tone_dbu": -40},
        stages={2: {"tone_reading_dbu": Decimal(4)}},
    )


def test_next_revision_goes_on_with_the_readings_and_says_where_they_were_taken(engineer):
    """r1: tone read (fixed)   ->   r2: the same readings, taken on r1"""
    revision = vocal_chain()
    fix_revision(logged(revision, engineer))

    following = open_revision(revision.chain, by=engineer)

    assert (following.number, following.readings_from, following.tone_dbu) == (2, 1, -40)
    assert [stage.tone_reading_dbu for stage in following.stages.all()] == [None, 4, None]


def test_another_chain_starts_with_the_source_and_without_the_readings(engineer):
    revision = vocal_chain()
    logged(revision, engineer)

    copy = copy_chain(
        revision.chain, to=SetupFactory(), by=engineer, source="Tenor voice", track="Harm 1"
    )

    start = Revision.objects.get(chain=copy)
    assert (start.source_spl_db, start.tone_dbu, start.readings_from) == (100, None, None)
    assert not start.stages.filter(tone_reading_dbu__isnull=False).exists()


def test_a_plan_alone_does_not_count_as_a_reading(engineer):
    revision = vocal_chain()

    saved = log_levels(
        revision.chain,
        seen=Seen.of(revision),
        by=engineer,
        facts={"source_spl_db": 100},
        stages={3: {"planned_reduction_low_db": 3}},
    )

    assert saved.readings_from is None
