"""What a comparison says of a pair: how it was arranged, and where its sides were set apart."""

import pytest
from django.urls import reverse

from sessions.setups.chains.actions import Seen, change_stage, fix_revision
from sessions.setups.comparing.comparison import ChangeRow, compare
from sessions.setups.models import Arrangement, ChainGroup, Seat
from tests.factories import RevisionFactory, SetupFactory
from tests.sessions.setups.building import loaded, preamplifier, stage

pytestmark = pytest.mark.django_db


def test_spacing_that_was_changed_and_sides_that_were_parted_are_said(client_of, engineer):
    """[pre/1] left and [pre/2] right, 60 cm apart when a take was recorded, then 40."""
    setup, pre = SetupFactory(), preamplifier(channels=2)
    pair = ChainGroup.objects.create(
        setup=setup, name="Pair", arrangement=Arrangement.SPACED, spacing_cm=60, is_matched=False
    )
    left, right = (
        RevisionFactory(
            chain__setup=setup, chain__group=pair, chain__seat=seat, chain__position=place
        )
        for place, seat in enumerate((Seat.LEFT, Seat.RIGHT), 1)
    )
    for channel, side in enumerate((left, right), 1):
        stage(side, pre, channel=channel, settings={"gain": 30})
    fix_revision(left)
    pair.spacing_cm = 40
    pair.save()
    change_stage(left.stages.get(), seen=Seen.of(left), by=engineer, settings={"gain": 36})

    newest = left.chain.revisions.newest().get()
    page = client_of(engineer).get(reverse("setups:compare", args=[left.chain_id]))

    assert compare(loaded(left), loaded(newest)).rows[0] == ChangeRow(
        "Chain",
        "Pair or group",
        "Pair, left: spaced pair, 60 cm apart",
        "Pair, left: spaced pair, 40 cm apart",
    )
    [row] = page.context["sides"].parted
    assert row.what == "Gain"
    assert row.before.startswith("36 dB")
    assert row.after.startswith("30 dB")
