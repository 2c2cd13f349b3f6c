"""The input list on paper, and as the call sheet prints it."""

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom
from gear.patchbay.models import TieLine
from sessions.bookings.models import RecordingSession
from sessions.desk.call_sheet import call_sheet
from sessions.setups.input_list.printed import input_lists
from sessions.setups.models import Arrangement, ChainGroup, Seat
from tests.factories import PatchPointFactory, PlacementFactory, RevisionFactory, SetupFactory
from tests.printed import accessibility_errors, collisions, text_of, words_of
from tests.sessions.setups.building import microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def setup():
    """Over the kit [mic] -- [P-01/1] and [ribbon] -- [P-01/2], 60 cm apart; one switch feeds both."""
    setup = SetupFactory(name="Band")
    pair = ChainGroup.objects.create(
        setup=setup, name="Overheads", arrangement=Arrangement.SPACED, spacing_cm=60
    )
    pre = preamplifier(channels=8, phantom_bank=4)
    pre.asset_tag = "P-01"
    pre.save()
    needs = [Phantom.NEEDED, Phantom.HARMFUL]
    for channel, (need, seat) in enumerate(zip(needs, (Seat.LEFT, Seat.RIGHT), strict=True), 1):
        revision = RevisionFactory(
            chain__setup=setup,
            chain__position=channel,
            chain__source=f"Kit, {seat}",
            chain__destination_input=f"{channel}",
            chain__group=pair,
            chain__seat=seat,
        )
        line = PatchPointFactory(label=f"Wall {channel}")
        TieLine.objects.create(room="Bread Room", box="Box 2", line=channel, point=line)
        stage(revision, microphone(phantom=need), patch_out=line, note="Felt below the stand")
        stage(revision, pre, channel=channel, settings={"gain": 36})
        PlacementFactory(revision=revision, stand="Tall boom")
    return setup


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_paper_holds_every_column_with_channel_pair_and_what_48_v_does(
    client_of, mix_engineer, setup, size
):
    setup.session.project.mix_engineers.add(mix_engineer.person)
    address = reverse("setups:input_list_pdf", args=[setup.pk])

    pdf = client_of(mix_engineer).get(address, {"paper": size}).getvalue()

    text = text_of(pdf)
    assert accessibility_errors(pdf) == []
    assert collisions(words_of(pdf)) == []
    for words in (
        "Input list",
        "Kit, left Overheads, left",
        "Tall boom",
        "Bread Room, Box 2 1",
        "P-01/1 36 dB",
        "no 48 V: one needs it, the other is damaged",
        "never 48 V",
        "Kit, right: Felt below the stand",
        "Overheads: spaced pair, 60 cm apart",
        "Page 1 of 1",
    ):
        assert words in text


def test_call_sheet_prints_the_same_lines(setup):
    session = RecordingSession.objects.select_related("project__client").get()

    assert list(call_sheet(session).input_lists) == input_lists(session)


@pytest.mark.parametrize("chains", [1, 3])
def test_list_costs_the_same_queries_for_any_number_of_chains(chains, django_assert_num_queries):
    setup = SetupFactory()
    for _ in range(chains):
        stage(RevisionFactory(chain__setup=setup), microphone(), patch_out=PatchPointFactory())

    with django_assert_num_queries(11):
        input_lists(setup.session)
