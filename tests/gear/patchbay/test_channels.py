"""Jacks of a unit with several channels: typed as tag and channel, and looked up by channel."""

import pytest
from django.urls import reverse

from gear.patchbay.models import PatchPoint, Side
from gear.patchbay.wiring import load_wiring
from tests.factories import BayFactory, PatchPointFactory, UnitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def pre():
    return UnitFactory(asset_tag="P-01", model__channels=8)


def row_of(client, bay, text):
    return client.post(
        reverse("patchbay:row_edit", args=[bay.pk, "A"]),
        {"side": "send", "level": "line", "points": text, "seen": bay.version},
    )


def test_channel_is_typed_behind_the_tag_and_shown_back(client_of, engineer, pre):
    bay, text = BayFactory(), "1; Pre 1 out; P-01/1\n2; Pre 2 out; P-01/2; out\n3; Pre out; P-01"

    assert row_of(client_of(engineer), bay, text).status_code == 302

    points = PatchPoint.objects.filter(bay=bay)
    assert [(point.unit, point.channel) for point in points] == [(pre, 1), (pre, 2), (pre, None)]
    page = client_of(engineer).get(reverse("patchbay:row_edit", args=[bay.pk, "A"]))
    assert page.context["form"]["points"].value() == text


def test_channel_that_the_unit_does_not_have_is_refused(client_of, engineer, pre):
    page = row_of(client_of(engineer), BayFactory(), "1; Pre 9 out; P-01/9")

    assert page.context["form"].errors["points"] == [
        f"Column 1: {pre} has channels 1 to 8.",
    ]


def test_tag_with_a_stroke_is_a_tag(client_of, engineer, pre):
    split = UnitFactory(asset_tag="P-01/2")
    bay = BayFactory()

    row_of(client_of(engineer), bay, "1; Split out; P-01/2")

    assert (bay.points.get().unit, bay.points.get().channel) == (split, None)


def test_jacks_of_a_channel_are_its_own_else_those_of_no_channel(pre):
    first, second, any_of_them = (
        PatchPointFactory(unit=pre, side=Side.SEND, channel=channel) for channel in (1, 2, None)
    )
    wiring = load_wiring()

    def jacks(channel):
        return [jack.pk for jack in wiring.of_unit(pre.pk, "send", channel)]

    assert jacks(1) == [first.pk]
    assert jacks(2) == [second.pk]
    assert jacks(3) == [any_of_them.pk]
    assert sorted(jacks(None)) == [first.pk, second.pk, any_of_them.pk]
