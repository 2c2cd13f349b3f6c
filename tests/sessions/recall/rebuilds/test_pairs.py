"""A pair is set up again as a pair: its sides side by side, units that match, tones that read alike."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.recall.rebuilds.actions import finish_rebuild
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.pairs import groups_of
from sessions.setups.models import Arrangement, ChainGroup, Revision, Seat
from tests.factories import (
    ChainFactory,
    MicrophoneModelFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.rebuilds.vocal import preamplifier_model, started
from tests.sessions.recall.recorded import record

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair():
    """[M-01] -- [P-01] left and [M-02] -- [P-02] right, 30 cm apart, the right gain 2 dB lower; M-03
    and M-04 are of the same model and were not used."""
    part = PartFactory(name="Piano")
    setup = SetupFactory(session=RecordingSessionFactory(project=part.song.project))
    group = ChainGroup.objects.create(
        setup=setup, name="Main pair", arrangement=Arrangement.SPACED, spacing_cm=30
    )
    mics = [
        UnitFactory(asset_tag=f"M-0{number}", model=model)
        for model in [MicrophoneModelFactory(phantom="needed")]
        for number in (1, 2, 3, 4)
    ]
    pre = preamplifier_model()
    revisions = []
    for place, (seat, gain, reading) in enumerate(
        ((Seat.LEFT, 36, "-4"), (Seat.RIGHT, 34, "-6")), 1
    ):
        chain = ChainFactory(
            setup=setup, part=part, group=group, seat=seat, position=place, source=f"Piano, {seat}"
        )
        revision = RevisionFactory(chain=chain)
        Revision.objects.filter(pk=revision.pk).update(tone_hz=1000, tone_dbu=-40)
        StageFactory(revision=revision, position=1, unit=mics[place - 1], panel=None)
        StageFactory(
            revision=revision,
            position=2,
            unit=UnitFactory(model=pre, asset_tag=f"P-0{place}"),
            panel=pre.current_panel(),
            settings={"48-v": 1, "gain": gain},
            tone_reading_dbu=Decimal(reading),
        )
        revisions.append(revision)
    record(TakeFactory(part=part, session=setup.session, circled=True), *revisions)
    return revisions


def read(rebuild, *levels):
    for step, level in zip(rebuild.steps.filter(position=2), levels, strict=True):
        step.tone_reading_dbu, step.tone_read_at = Decimal(level), timezone.now()
        step.save()


def test_checklist_says_how_the_pair_stood_and_where_its_sides_were_set_apart(
    client_of, engineer, pair
):
    rebuild = started(pair[0], engineer)

    page = client_of(engineer).get(rebuild.get_absolute_url())

    [group] = page.context["groups"]
    assert str(group.facts) == "Main pair: spaced pair, 30 cm apart"
    assert [chain.wanted.group.seat for chain in group.chains] == ["left", "right"]
    assert group.parted == ["Gain 36 dB / 34 dB"]
    assert group.drawing.title == str(group.facts)


def test_each_side_is_offered_a_unit_of_its_own_of_the_same_model(engineer, pair):
    for revision in pair:
        unit = revision.stages.get(position=1).unit
        unit.state = "retired"
        unit.save()

    rebuild = started(pair[0], engineer)

    units = [step.unit.asset_tag for step in rebuild.steps.filter(position=1)]
    assert units == ["M-03", "M-04"]


@pytest.mark.parametrize(
    ("levels", "out"),
    [
        (("-4", "-6"), []),  # 2 dB apart, as the gains were
        (("-5", "-7"), []),  # both low alike: that is the tone's own level
        (("-4", "-4.4"), [(-1.6, "Piano, right")]),
        (("-2", "-6"), [(2, "Piano, left")]),
    ],
)
def test_sides_that_read_apart_say_by_how_much(client_of, engineer, pair, levels, out):
    rebuild = started(pair[0], engineer)
    read(rebuild, *levels)

    [group] = groups_of(checklist_of(rebuild).chains)
    pages = [
        client_of(engineer).get(reverse(f"rebuild:{name}", args=[rebuild.pk])).content.decode()
        for name in ("tone", "report")
    ]

    assert [(tone.out_by_db, louder.wanted.source) for tone, louder in group.out] == out
    assert ["sides are out by" in page for page in pages] == [bool(out)] * 2


def test_finished_it_is_a_pair_again(engineer, pair):
    rebuild = started(pair[0], engineer)

    setup = finish_rebuild(rebuild, session=pair[0].chain.setup.session, by=engineer)

    group = setup.groups.get()
    assert (group.name, group.arrangement, group.spacing_cm) == ("Main pair", "spaced", 30)
    assert not group.is_matched
    assert list(group.chains.order_by("position").values_list("seat", flat=True)) == [
        Seat.LEFT,
        Seat.RIGHT,
    ]
