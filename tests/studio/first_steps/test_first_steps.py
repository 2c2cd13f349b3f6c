"""An empty studio is led to its first booking; what is done is seen from what is there."""

import pytest
from django.urls import reverse
from lxml import html
from pytest_django.asserts import assertContains, assertNotContains

from gear.equipment.models import Unit
from sessions.clients.models import Person
from sessions.letters.models import Letter
from sessions.rooms.models import HouseRules, Room, Studio
from sessions.terms.agreements.agreed import agreed_for
from sessions.terms.models import Basis, CancellationStep, CancellationTerms, Rate
from studio.first_steps.steps import KINDS, _standing
from tests.factories import PersonFactory, ProjectFactory, RecordingSessionFactory, RoomFactory

pytestmark = pytest.mark.django_db

TYPED = {
    "you": {"name": "Odile Marrack"},
    "facts": {"name": "Quay Steps Studio", "phone": "01632 960 201", "seen": 1},
    "rooms": {"name": "Rope Floor"},
    "people": {"name": "Piran Tolle", "role": "assistant", "bookable": "on"},
    "gear": {"kind": "Ribbon microphone", "count": 2},
    "rates": {"name": "House rates", "amount": "45"},
    "terms": {"name": "House terms", "hours": "48", "percent": "50"},
}


def do(web, step, **changes):
    typed = TYPED[step] | changes
    fields = {f"{step}-{name}": value for name, value in typed.items()}
    return web.post(
        reverse("first_steps"), fields | {"step": step, "next": reverse("home")}, follow=True
    )


def listed(page) -> tuple[list[str], str]:
    """What is ticked off, and what is open."""
    steps = html.fromstring(page.content).xpath("//details[summary/*[@class='list-main']]")
    titles = {step: step.xpath("string(summary/*[@class='list-main']/text())") for step in steps}
    done = [title for step, title in titles.items() if "done" in step.xpath("string(summary)")]
    opened = [title for step, title in titles.items() if step.get("open") is not None]
    return done, ", ".join(opened)


def test_every_step_is_done_in_place_and_ticked_off_from_what_is_there(client_of, manager):
    web = client_of(manager)
    page, ticked = web.get(reverse("home")), []

    for number, (key, kind) in enumerate(KINDS.items(), start=1):
        assert listed(page) == (ticked, f"{number}. {kind.title}")
        if kind.form is None:
            break
        page = do(web, key)
        assert page.redirect_chain[-1][0] == reverse("home")
        ticked.append(f"{number}. {kind.title}")

    assertContains(page, "7 of 8 done")
    assert manager.person.name == "Odile Marrack"
    assert Studio.current().phone == "01632 960 201"
    assert Unit.objects.filter(model__maker="Generic").count() == 2
    assert Rate.objects.get().basis == Basis.HOUR
    RecordingSessionFactory()
    assertNotContains(web.get(reverse("home")), "First steps")


def test_page_starts_in_the_open_step(client_of, manager):
    page = html.fromstring(client_of(manager).get(reverse("home")).content)

    (form,) = page.xpath("//form[@data-starts-here]")
    assert form.fields["step"] == "you"


def test_what_goes_is_asked_for_again(client_of, manager):
    web = client_of(manager)
    for step in TYPED:
        do(web, step)
    RecordingSessionFactory()
    Room.objects.update(retired=True)

    done, opened = listed(web.get(reverse("home")))

    assert opened == "3. Rooms"
    assert "3. Rooms" not in done


def test_put_away_by_one_manager_and_fetched_again(client_of, manager):
    web = client_of(manager)

    put_away = web.post(reverse("first_steps_put_away"), {"put_away": "on"}, follow=True)

    assertNotContains(put_away, 'id="first-steps"')
    assertContains(web.get(reverse("rooms:studio")), reverse("first_steps"))
    assertContains(web.get(reverse("first_steps")), "Show on Today")
    shown = web.post(reverse("first_steps_put_away"), {"put_away": "off"}, follow=True)
    assertContains(shown, 'id="first-steps"')


def test_only_a_manager_is_asked(client_of, engineer):
    assertNotContains(client_of(engineer).get(reverse("home")), "First steps")


def test_person_with_an_address_is_invited_and_one_without_only_listed(client_of, manager):
    web = client_of(manager)

    do(web, "people", email="piran@quay-steps.example")
    do(web, "people", name="Jory Tremlett")

    assert Letter.objects.get().to == "piran@quay-steps.example"
    assert Person.objects.get(name="Piran Tolle").user.role == "assistant"
    assert Person.objects.get(name="Jory Tremlett").user is None


def test_manager_who_is_listed_already_is_joined(client_of, manager):
    manager.email = "odile@quay-steps.example"
    manager.save()
    person = PersonFactory(name="O. Marrack", email="odile@quay-steps.example", bookable=True)

    do(client_of(manager), "you")

    person.refresh_from_db()
    assert (person.user, person.name, person.bookable) == (manager, "Odile Marrack", True)


def test_wrong_input_is_said_beside_the_field_and_nothing_typed_is_lost(client_of, manager):
    RoomFactory(name="Rope Floor")

    page = do(client_of(manager), "rooms")

    assert page.status_code == 200
    assert page.context["steps"].step("rooms").form.errors.keys() == {"name"}
    assertContains(page, 'value="Rope Floor"')


def test_facts_that_somebody_else_saved_meanwhile_are_not_overwritten(client_of, manager):
    Studio.objects.create(pk=1, name="Tide House", version=4)

    page = do(client_of(manager), "facts")

    assertContains(page, "was changed by somebody else")
    assert Studio.current().name == "Tide House"


def test_step_that_was_done_meanwhile_is_not_done_twice(client_of, manager):
    web = client_of(manager)
    do(web, "terms")

    page = do(web, "terms", name="More terms")

    assertContains(page, "somebody else did this meanwhile")
    assert CancellationTerms.objects.get().name == "House terms"


def test_rates_take_currency_and_tax_of_the_house(client_of, manager):
    RoomFactory.create_batch(2)
    HouseRules.objects.create(pk=1, currency="EUR", tax_name="Tax", tax_percent="19")

    do(client_of(manager), "rates")

    first, _second = Rate.objects.all()
    assert (first.card.currency, first.card.tax_name, first.card.tax_percent) == ("EUR", "Tax", 19)


def test_terms_charge_below_the_notice_and_nothing_above(client_of, manager):
    do(client_of(manager), "terms")

    steps = CancellationStep.objects.order_by("notice_from").values_list(
        "notice_from", "notice_below", "percent"
    )
    assert list(steps) == [(0, 48, 50), (48, None, 0)]


def test_sessions_begin_with_the_rates_and_terms_of_the_house(client_of, manager):
    web = client_of(manager)
    do(web, "rooms")
    do(web, "rates")
    do(web, "terms")

    agreed = agreed_for(ProjectFactory())

    assert agreed.rate_card.name == "House rates"
    assert agreed.cancellation_terms.name == "House terms"


def test_list_costs_one_query(manager, django_assert_num_queries):
    with django_assert_num_queries(1):
        assert not any(_standing(manager).values())


def test_without_a_mail_server_the_list_says_so(client_of, manager, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.console.EmailBackend"

    assertContains(client_of(manager).get(reverse("home")), "No mail server is set up")
    page = do(client_of(manager), "people", email="piran@quay-steps.example")
    assertContains(page, "The link for Piran Tolle")
