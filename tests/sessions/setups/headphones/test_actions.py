import pytest

from sessions.setups.headphones.actions import snapshot_mixes
from sessions.setups.headphones.listening import HeardLine, HeardMix
from sessions.setups.headphones.models import MixSnapshot
from tests.factories import (
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    PersonFactory,
    SetupFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def mix():
    unit = UnitFactory(model__name="Cornice", asset_tag="H-01")
    mix = HeadphoneMixFactory(name="Singers", box=unit, output="2", level_dba="84.5", note="Dry.")
    mix.listeners.set([PersonFactory(name="Wren"), PersonFactory(name="Ludo")])
    HeadphoneLineFactory(mix=mix, source="Click", level="just there", pan="left")
    return mix


def test_mixes_are_kept_as_they_stand(mix):
    kept = snapshot_mixes(mix.setup)
    mix.box.asset_tag = "H-99"
    mix.box.save()

    [heard] = map(HeardMix.from_json, MixSnapshot.objects.get(pk=kept.pk).mixes)

    assert heard == HeardMix(
        name="Singers",
        listeners=("Ludo", "Wren"),
        box="Hobweir Cornice (H-01)",
        output="2",
        lines=(HeardLine("Click", "just there", "left"),),
        level_dba=84.5,
        minutes_a_day=None,
        note="Dry.",
    )


def test_takes_share_what_is_kept_until_a_mix_is_changed(mix):
    first, second = snapshot_mixes(mix.setup), snapshot_mixes(mix.setup)
    line = mix.lines.get()
    line.level = "loud"
    line.save()
    third, elsewhere = snapshot_mixes(mix.setup), snapshot_mixes(SetupFactory())

    assert first == second != third
    assert third.mixes[0]["lines"] == [{"heard": "Click", "level": "loud", "pan": "left"}]
    assert elsewhere.mixes == []
