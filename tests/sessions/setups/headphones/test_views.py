from html import unescape

import pytest
from django.urls import reverse

from gear.equipment.models import Category
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from tests.factories import (
    ChainFactory,
    CreditFactory,
    GearModelFactory,
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    PersonFactory,
    RevisionFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"headphones:{name}", args=[thing.pk])


@pytest.fixture
def chain():
    return RevisionFactory(chain__source="Alto voice").chain


def typed(chain, **facts):
    return {
        "name": "Hesper",
        "output": "2",
        f"chain{chain.pk}-level": "0 dB",
        f"chain{chain.pk}-pan": "centre",
        "other0-source": "Click",
        "other0-level": "just there",
    } | facts


def lines_of(mix):
    return [(line.heard, line.level, line.pan) for line in mix.lines.all()]


def test_mix_is_noted_with_who_hears_what_through_which_box(client_of, engineer, chain):
    box = UnitFactory(model=GearModelFactory(category=Category.HEADPHONES))
    hesper = CreditFactory(session=chain.setup.session).person
    sent = typed(chain, listeners=[hesper.pk], box=box.pk, level_dba="82.5", minutes_a_day="180")

    answer = client_of(engineer).post(page("create", chain.setup), sent)

    mix = HeadphoneMix.objects.get()
    assert answer.url == mix.get_absolute_url()
    assert (list(mix.listeners.all()), mix.box, mix.output) == ([hesper], box, "2")
    assert (mix.level_dba, mix.minutes_a_day) == (82.5, 180)
    assert lines_of(mix) == [("Alto voice", "0 dB", "centre"), ("Click", "just there", "")]


def test_setup_page_says_who_hears_what(client_of, engineer, chain):
    mix = HeadphoneMixFactory(setup=chain.setup, name="Hesper", note="Her voice on top")
    HeadphoneLineFactory(mix=mix, chain=chain, source="", level="0 dB", pan="left")

    html = client_of(engineer).get(chain.setup.get_absolute_url()).content.decode()

    assert "Alto voice: 0 dB, left" in html
    assert "Her voice on top" in html


def test_people_of_the_session_are_offered_and_nobody_else(client_of, engineer, chain):
    singer = CreditFactory(session=chain.setup.session).person
    PersonFactory()

    form = client_of(engineer).get(page("create", chain.setup)).context["form"]

    assert list(form.fields["listeners"].queryset) == [singer]


@pytest.mark.parametrize(
    ("facts", "message"),
    [
        ({"name": "Shared"}, "already: choose another name"),
        ({"other1-source": "Reverb"}, "Enter how loud Reverb is"),
        ({"other1-level": "low"}, "Enter the source of that level"),
        ({"other1-source": "Click", "other1-level": "low"}, "Click is in a line above already"),
        ({"level_dba": "loud"}, "Enter a number"),
        ({"minutes_a_day": "1500"}, "less than or equal to 1440"),
    ],
)
def test_mix_that_cannot_be_is_refused_with_what_was_typed(
    client_of, engineer, chain, facts, message
):
    HeadphoneMixFactory(setup=chain.setup, name="Shared")

    answer = client_of(engineer).post(
        page("create", chain.setup), typed(chain, note="Her own words") | facts
    )

    html = unescape(answer.content.decode())
    assert message in html
    assert "Her own words" in html
    assert HeadphoneMix.objects.count() == 1


def test_change_keeps_the_lines_that_stay(client_of, engineer, chain):
    mix = HeadphoneMixFactory(setup=chain.setup, name="Hesper")
    stays = HeadphoneLineFactory(mix=mix, chain=chain, source="", level="0 dB")
    HeadphoneLineFactory(mix=mix, source="Reverb")
    sent = typed(chain) | {f"chain{chain.pk}-level": "-3 dB", "seen": mix.version}

    client_of(engineer).post(page("edit", mix), sent)

    assert lines_of(mix) == [("Alto voice", "-3 dB", "centre"), ("Click", "just there", "")]
    assert mix.lines.first() == stays
    assert HeadphoneLine.history.filter(id=stays.pk).first().history_user == engineer


def test_mix_that_somebody_saved_meanwhile_is_shown_in_both_versions(client_of, engineer, chain):
    mix = HeadphoneMixFactory(setup=chain.setup, name="Hesper", output="1")
    seen = mix.version
    client = client_of(engineer)
    client.post(page("edit", mix), typed(chain, seen=seen))

    second = client.post(page("edit", mix), typed(chain, seen=seen, output="4"))

    assert second.status_code == 409
    assert ("Output", "2", "4") in second.context["meanwhile"].differences
    mix.refresh_from_db()
    assert mix.output == "2"


def test_mix_is_taken_out_and_its_history_stays(client_of, engineer, chain):
    mix = HeadphoneMixFactory(setup=chain.setup)
    HeadphoneLineFactory(mix=mix)
    client = client_of(engineer)

    client.post(page("delete", mix), {"seen": "0"})
    assert HeadphoneMix.objects.exists()  # somebody changed it since
    client.post(page("delete", mix), {"seen": mix.version})

    assert not HeadphoneMix.objects.exists()
    assert HeadphoneMix.history.first().history_type == "-"
    assert HeadphoneLine.history.first().history_type == "-"


@pytest.mark.parametrize("count", [1, 3])
def test_form_costs_the_same_queries(client_of, engineer, django_assert_num_queries, count):
    mix = HeadphoneMixFactory()
    for _ in range(count):
        HeadphoneLineFactory(mix=mix, chain=ChainFactory(setup=mix.setup), source="")
        mix.listeners.add(PersonFactory())
        UnitFactory(model=GearModelFactory(category=Category.HEADPHONES))
    client = client_of(engineer)

    with django_assert_num_queries(8):
        client.get(page("edit", mix))
