import pytest
from django.db import IntegrityError

from sessions.setups.headphones.listening import HeardMix
from sessions.setups.headphones.models import HeadphoneMix
from tests.factories import (
    ChainFactory,
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def test_line_says_the_chains_source_or_its_own():
    chain = ChainFactory(source="Fiddle")

    heard = [
        HeadphoneLineFactory(chain=chain, source="").heard,
        HeadphoneLineFactory(source="Click").heard,
    ]

    assert heard == ["Fiddle", "Click"]


@pytest.mark.parametrize("facts", [{"source": ""}, {"source": "Click", "chain": True}])
def test_line_has_one_source(facts):
    if facts.get("chain"):
        facts = facts | {"chain": ChainFactory()}

    with pytest.raises(IntegrityError):
        HeadphoneLineFactory(**facts)


@pytest.mark.parametrize(
    ("box", "output", "words"),
    [
        (True, "2", "Hobweir Cornice (H-01), output 2"),
        (True, "", "Hobweir Cornice (H-01)"),
        (False, "Wall 4", "output Wall 4"),
        (False, "", ""),
    ],
)
def test_mix_says_through_which_box(box, output, words):
    unit = UnitFactory(model__name="Cornice", asset_tag="H-01") if box else None

    assert HeardMix.of(HeadphoneMixFactory(box=unit, output=output)).through == words


def test_mix_engineer_sees_the_mixes_of_their_projects_only(mix_engineer, mixed_project):
    theirs = HeadphoneMixFactory(setup__session__project=mixed_project)
    HeadphoneMixFactory()

    assert list(HeadphoneMix.objects.visible_to(mix_engineer)) == [theirs]
