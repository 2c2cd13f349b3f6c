import pytest
from django.urls import reverse

from tests.factories import ChainFactory, RevisionFactory, StageFactory
from tests.sessions.setups.building import preamplifier, revision_of, stage

pytestmark = pytest.mark.django_db


def address(chain, **chosen):
    query = "&".join(f"{name}={revision.pk}" for name, revision in chosen.items())
    return f"{reverse('setups:compare', args=[chain.pk])}?{query}"


def two_revisions(unit=None, gains=(35, 40)):
    chain, unit = ChainFactory(), unit or preamplifier()
    made = [RevisionFactory(chain=chain, number=number) for number in (1, 2)]
    for revision, gain in zip(made, gains, strict=True):
        stage(revision, unit, settings={"gain": gain})
    return made


def test_page_compares_the_newest_revision_with_the_one_before(client_of, engineer):
    first, second = two_revisions()

    page = client_of(engineer).get(reverse("setups:compare", args=[first.chain_id]))

    comparison = page.context["comparison"]
    assert (comparison.before, comparison.after) == (first, second)
    html = page.content.decode()
    assert "1 control beyond tolerance." in html
    assert "+5 dB" in html


def test_page_compares_chains_too(client_of, engineer):
    first, _ = two_revisions()
    other = revision_of(preamplifier(), setup=first.chain.setup)

    page = client_of(engineer).get(address(first.chain, before=first, after=other))

    assert page.context["comparison"].after == other


def test_chain_of_one_revision_does_not_differ_from_itself(client_of, engineer):
    revision = revision_of(preamplifier())

    html = client_of(engineer).get(address(revision.chain)).content.decode()

    assert "Nothing differs." in html


def test_revision_of_another_project_is_refused_beside_its_field(client_of, engineer):
    first, _ = two_revisions()
    elsewhere = revision_of(preamplifier())

    page = client_of(engineer).get(address(first.chain, before=first, after=elsewhere))

    assert page.context["comparison"] is None
    assert "after" in page.context["form"].errors


@pytest.mark.parametrize("stages", [1, 3])
def test_number_of_queries_does_not_grow_with_the_stages(
    client_of, engineer, django_assert_num_queries, stages
):
    client = client_of(engineer)
    revisions = two_revisions()
    for revision in revisions:
        for position in range(2, stages + 1):
            StageFactory(revision=revision, position=position)
    before, after = revisions

    with django_assert_num_queries(13):
        client.get(address(before.chain, before=before, after=after))
