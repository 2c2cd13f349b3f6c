"""Which units may be picked for a chain of a session, and what is said of the others."""

import pytest

from gear.equipment.models import UnitState
from sessions.bookings.models import Status
from sessions.setups.chains.availability import pick, unit_choices
from tests.factories import (
    TEN_O_CLOCK,
    RecordingSessionFactory,
    ReservationFactory,
    UnitFactory,
)
from tests.sessions.setups.building import loaded, preamplifier, revision_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def revision():
    return revision_of(preamplifier())


def choices_for(revision):
    return unit_choices(loaded(revision))


def said(choices):
    return {choice.unit: choice.note for choice in choices.offered}


def reserve(unit, **facts):
    return ReservationFactory(room=None, unit=unit, **facts)


def test_reserved_units_come_first_then_those_that_are_free(revision):
    free, reserved = UnitFactory(asset_tag="A-1"), UnitFactory(asset_tag="Z-1")
    reserve(reserved, session=revision.chain.setup.session)
    [standing] = [stage.unit for stage in revision.stages.all()]

    choices = choices_for(revision)

    assert said(choices) == {
        reserved: "reserved for this session",
        free: "free, not reserved",
        standing: "free, not reserved; unit 1 of this chain",
    }
    assert choices.offered[0].unit == reserved
    assert choices.taken == []


def test_unit_that_another_session_has_at_the_time_is_named_with_who_has_it(revision):
    unit = UnitFactory()
    reserve(unit, session=RecordingSessionFactory(title="Readings"))

    choices = choices_for(revision)

    assert unit not in said(choices)
    [taken] = choices.taken
    assert (taken.unit, taken.unit in said(choices)) == (unit, False)
    assert "taken by “Readings”" in taken.note


@pytest.mark.parametrize(
    "facts",
    [
        {"rank": 2},  # a second hold owns no time
        {"rank": None},  # an enquiry, or cancelled
        {"session__starts_at": TEN_O_CLOCK.replace(hour=14)},  # begins as this one ends
    ],
)
def test_unit_that_nobody_owns_at_the_time_is_free(revision, facts):
    unit = UnitFactory()
    reserve(unit, **facts)

    assert said(choices_for(revision))[unit] == "free, not reserved"


@pytest.mark.parametrize("state", [UnitState.ON_THE_BENCH, UnitState.RETIRED])
def test_unit_out_of_service_is_not_offered_even_if_reserved(revision, state):
    unit = UnitFactory(state=state)
    reserve(unit, session=revision.chain.setup.session)

    choices = choices_for(revision)

    assert unit not in said(choices)
    assert choices.taken == []


@pytest.mark.parametrize("typed", ["p-07", "P-07", "Hobweir Stile (P-07)", "stile", " weir  stile"])
def test_unit_is_picked_by_its_tag_or_by_words_of_its_name(revision, typed):
    stile = UnitFactory(model__name="Stile", asset_tag="P-07")
    UnitFactory(model__name="Spring", asset_tag="P-08")

    assert pick(choices_for(revision), typed) == stile


@pytest.mark.parametrize(
    ("typed", "problem"),
    [
        ("spring", "may be Hobweir Spring (P-07), Hobweir Spring (P-08)"),
        ("flood", "No unit that is free is called “flood”"),
        ("P-09", "is taken by “Readings”"),
        ("P-10", "P-10 is on the bench"),
    ],
)
def test_what_cannot_be_picked_says_why(revision, typed, problem):
    springs = UnitFactory(model__name="Spring", asset_tag="P-07")
    UnitFactory(model=springs.model, asset_tag="P-08")
    reserve(
        UnitFactory(asset_tag="P-09"),
        session=RecordingSessionFactory(title="Readings", status=Status.CONFIRMED),
    )
    UnitFactory(asset_tag="P-10", state=UnitState.ON_THE_BENCH)

    with pytest.raises(ValueError, match="Choose") as refusal:
        pick(choices_for(revision), typed)

    assert problem in str(refusal.value)
