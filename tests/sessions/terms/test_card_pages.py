from decimal import Decimal

import pytest
from django.urls import reverse

from sessions.terms.models import Basis, CancellationStep, CancellationTerms, Rate, RateCard
from tests.factories import (
    CancellationStepFactory,
    CancellationTermsFactory,
    GearModelFactory,
    PersonFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    RoomFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db
CARD = {
    "set_up_percent": "0",
    "name": "House 2026",
    "currency": "gbp",
    "minimum_minutes": "120",
    "step_minutes": "30",
    "day_minutes": "7.5",
    "overtime_after_minutes": "",
    "overtime_percent": "50",
    "deposit_percent": "50",
    "tax_name": "VAT",
    "tax_percent": "20",
    "note": "",
}


def test_card_is_put_on_record(web):
    answer = web.post(reverse("terms:card_create"), CARD)

    card = RateCard.objects.get()
    assert answer.url == card.get_absolute_url()
    assert (card.name, card.currency) == ("House 2026", "GBP")
    assert (card.day_minutes, card.overtime_after_minutes) == (450, None)


def test_new_card_starts_with_the_houses_currency_and_tax(web):
    form = web.get(reverse("terms:card_create")).context["form"]

    assert (form["currency"].value(), form["tax_name"].value()) == ("GBP", "VAT")


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        ("currency", "£", "Enter the three letters of the currency, such as GBP."),
        (
            "currency",
            "KWD",
            "Amounts have two decimal places, and KWD needs more: choose another currency.",
        ),
        ("minimum_minutes", "-30", "Give 0 or more."),
        ("step_minutes", "0", "Give 1 or more."),
        ("day_minutes", "24.5", "Give 24 or less."),
        ("step_minutes", "half an hour", "Enter a whole number, such as 120."),
        ("deposit_percent", "101", "Give 100 or less."),
        ("tax_percent", "-1", "Give 0 or more."),
        ("overtime_percent", "-1", "Give 0 or more."),
        ("overtime_percent", "a half", "Enter a number, such as 45 or 12.50."),
    ],
)
def test_wrong_fact_of_a_card_is_told_beside_its_field_and_kept(web, field, typed, message):
    page = web.post(reverse("terms:card_create"), CARD | {field: typed})

    assert page.context["form"].errors == {field: [message]}
    assert page.context["form"]["name"].value() == "House 2026"
    assert page.context["form"][field].value() == typed
    assert not RateCard.objects.exists()


def test_currency_without_smaller_unit_is_refused_for_rates_with_one(web):
    card = RateFactory(amount="45.50").card

    page = web.post(
        reverse("terms:card_edit", args=[card.pk]), CARD | {"name": card.name, "currency": "JPY"}
    )

    assert list(page.context["form"].errors) == ["currency"]


@pytest.mark.parametrize("kind", ["room", "person", "unit", "gear_model"])
def test_rate_is_put_on_the_card_of_a_room_person_unit_or_model(web, kind):
    card = RateCardFactory()
    thing = {
        "room": RoomFactory,
        "person": lambda: PersonFactory(bookable=True),
        "unit": UnitFactory,
        "gear_model": GearModelFactory,
    }[kind]()

    answer = web.post(
        reverse("terms:rate_create", args=[card.pk]),
        {"thing": f"{kind}-{thing.pk}", "basis": "hour", "amount": "45.50"},
    )

    assert answer.url == card.get_absolute_url()
    rate = card.rates.get()
    assert (rate.thing, rate.key, rate.amount) == (thing, (kind, thing.pk), Decimal("45.50"))


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("-1", "This cannot be below 0. For a reduction, give the session a discount."),
        ("45,50", "Enter a number, such as 45 or 12.50."),
        ("1e", "Enter a number, such as 45 or 12.50."),
        ("NaN", "Enter a number, such as 45 or 12.50."),
        ("0.005", "Enter at most two decimal places, such as 45.50."),
        ("123456789012", "This is too large: enter at most eight digits."),
    ],
)
def test_wrong_amount_is_told_beside_its_field_and_kept(web, typed, message):
    room, card = RoomFactory(), RateCardFactory()

    page = web.post(
        reverse("terms:rate_create", args=[card.pk]),
        {"thing": f"room-{room.pk}", "basis": "day", "amount": typed},
    )

    form = page.context["form"]
    assert form.errors == {"amount": [message]}
    assert (form["amount"].value(), form["thing"].value()) == (typed, f"room-{room.pk}")
    assert not Rate.objects.exists()


def test_part_of_a_currency_without_smaller_unit_is_refused(web):
    room, card = RoomFactory(), RateCardFactory(currency="JPY")

    page = web.post(
        reverse("terms:rate_create", args=[card.pk]),
        {"thing": f"room-{room.pk}", "basis": "hour", "amount": "45.50"},
    )

    assert page.context["form"].errors == {
        "amount": ["JPY has no smaller unit: enter a whole amount."]
    }


def test_second_rate_of_a_thing_on_one_basis_is_refused(web):
    rate = RateFactory()

    page = web.post(
        reverse("terms:rate_create", args=[rate.card_id]),
        {"thing": f"room-{rate.room_id}", "basis": "hour", "amount": "50"},
    )

    assert page.context["form"].errors == {
        "basis": ["The card already has a rate for this on that basis: edit that one."]
    }


def test_rate_is_changed(web):
    rate = RateFactory()
    page = web.get(reverse("terms:rate_edit", args=[rate.pk]))

    web.post(
        reverse("terms:rate_edit", args=[rate.pk]),
        {
            "thing": page.context["form"]["thing"].value(),
            "basis": Basis.DAY,
            "amount": "400",
            "seen": page.context["seen"],
        },
    )

    rate.refresh_from_db()
    assert (rate.basis, rate.amount) == ("day", 400)


def test_rate_changed_meanwhile_is_not_overwritten(web):
    rate = RateFactory()
    seen = web.get(reverse("terms:rate_edit", args=[rate.pk])).context["seen"]
    edit = reverse("terms:rate_edit", args=[rate.pk])
    mine = {"thing": f"room-{rate.room_id}", "basis": "hour", "amount": "70", "seen": seen}
    web.post(edit, mine | {"amount": "60"})

    page = web.post(edit, mine)

    assert page.status_code == 409
    assert page.context["meanwhile"].differences == [("Amount", "60.00", "70")]
    assert Rate.objects.get().amount == 60


def test_rate_of_what_is_retired_stays_choosable(web):
    rate = RateFactory(room__retired=True)

    form = web.get(reverse("terms:rate_edit", args=[rate.pk])).context["form"]

    assert f'value="room-{rate.room_id}" selected' in str(form["thing"])


def test_rate_is_taken_off_only_when_confirmed(web):
    rate = RateFactory()
    address = reverse("terms:rate_delete", args=[rate.pk])

    assert "Remove rate" in web.get(address).text
    assert Rate.objects.exists()

    assert web.post(address).url == rate.card.get_absolute_url()
    assert not Rate.objects.exists()
    assert Rate.history.filter(history_type="-").count() == 1


def test_card_page_shows_rates_and_rules(web):
    rate = RateFactory(amount="1234.50", room__name="Rope Floor", tax_percent=5)
    free = RateFactory(card=rate.card, room__name="Bread Room", amount=0)

    page = web.get(rate.card.get_absolute_url())

    assert page.context["rates"] == [(rate, "Room", "1,234.50", "5 %")]
    assert page.context["free"] == [(free, "Room", "0.00", "20 %")]
    assert "1 without charge" in page.text
    assert "rounded to the currency’s smallest unit (0.01 GBP), halves up" in page.text


@pytest.mark.parametrize("count", [1, 3])
def test_list_of_cards_costs_the_same_however_many(web, django_assert_num_queries, count):
    for _ in range(count):
        RateFactory()

    with django_assert_num_queries(4):
        page = web.get(reverse("terms:cards"))

    assert [row.record.rate_count for row in page.context["table"].rows] == [1] * count


@pytest.mark.parametrize("count", [1, 3])
def test_card_page_costs_the_same_however_many_rates(web, django_assert_num_queries, count):
    card = RateCardFactory()
    for _ in range(count):
        RateFactory(card=card)

    with django_assert_num_queries(4):
        page = web.get(card.get_absolute_url())

    assert len(page.context["rates"]) == count


@pytest.mark.parametrize("count", [1, 3])
def test_list_of_terms_costs_the_same_however_many(web, django_assert_num_queries, count):
    for _ in range(count):
        CancellationStepFactory()

    with django_assert_num_queries(4):
        page = web.get(reverse("terms:list"))

    assert [row.record.step_count for row in page.context["table"].rows] == [1] * count


STEP = {
    "applies_to": "all",
    "notice_unit": "days",
    "notice_from": "2",
    "notice_below": "8",
    "percent": "50",
    "charge_of": "fee",
}


def test_terms_are_put_on_record_step_by_step(web):
    facts = {"name": "House 2026", "counted_from": "start", "grace_minutes": "15"}
    answer = web.post(reverse("terms:create"), facts)
    terms = CancellationTerms.objects.get()
    assert answer.url == terms.get_absolute_url()

    web.post(reverse("terms:step_create", args=[terms.pk]), STEP)
    web.post(
        reverse("terms:step_create", args=[terms.pk]),
        STEP | {"notice_from": "14", "notice_below": "", "percent": "0"},
    )

    page = web.get(terms.get_absolute_url())
    [of_kind] = page.context["kinds"]
    assert [(notice, charged) for _, notice, charged in of_kind.steps] == [
        ("14 days or more", "nothing"),
        ("at least 2 days and less than 8 days", "50 % of the fee"),
    ]
    assert [warning.partition(".")[0] for warning in of_kind.warnings] == [
        "Gap: the terms say nothing about notice of at least 8 days and less than 14 days",
        "Gap: the terms say nothing about notice of less than 2 days",
    ]
    assert "Notice of exactly the stated length counts as in time." in page.text


def test_overlap_of_steps_is_told(web):
    terms = CancellationTermsFactory()
    CancellationStepFactory(terms=terms, notice_from=24, notice_below=None, percent=0)
    CancellationStepFactory(terms=terms, notice_below=48, percent=50)

    [of_kind] = web.get(terms.get_absolute_url()).context["kinds"]

    assert of_kind.warnings == [
        "Overlap: for notice of at least 24 hours and less than 48 hours the terms contradict "
        "themselves: nothing and 50 % of the fee."
    ]


def test_kind_of_session_left_out_is_told(web):
    step = CancellationStepFactory(applies_to="days")

    left_out = web.get(step.terms.get_absolute_url()).context["left_out"]

    assert [sentence.partition(":")[0] for sentence in left_out] == [
        "These terms say nothing about sessions within one day"
    ]


@pytest.mark.parametrize(
    ("changes", "field", "message"),
    [
        ({"percent": "101"}, "percent", "Give 100 or less."),
        ({"percent": "-1"}, "percent", "Give 0 or more."),
        ({"notice_from": "-1"}, "notice_from", "Give 0 or more."),
        ({"notice_from": "two"}, "notice_from", "Enter a number, such as 45 or 12.50."),
        ({"notice_below": "2"}, "notice_below", "This must be more than 2, the minimum notice."),
        (
            {"notice_unit": "business_days", "notice_from": "1.5"},
            "notice_from",
            "Business days and months are whole: enter a whole number.",
        ),
        (
            {"notice_unit": "months", "notice_below": "121"},
            "notice_below",
            "That is too long: nobody books that far ahead.",
        ),
    ],
)
def test_wrong_step_is_told_beside_its_field_and_kept(web, changes, field, message):
    terms = CancellationTermsFactory()

    page = web.post(reverse("terms:step_create", args=[terms.pk]), STEP | changes)

    form = page.context["form"]
    assert form.errors == {field: [message]}
    assert {name: form[name].value() for name in STEP} == STEP | changes
    assert not CancellationStep.objects.exists()


def test_step_is_taken_out_only_when_confirmed(web):
    step = CancellationStepFactory()
    address = reverse("terms:step_delete", args=[step.pk])

    assert "less than 48 hours" in web.get(address).text
    assert web.post(address).url == step.terms.get_absolute_url()
    assert not CancellationStep.objects.exists()


def test_retired_card_is_not_offered_and_a_chosen_one_stays(web):
    retired, chosen = RateCardFactory(retired=True), RateCardFactory(retired=True)
    session = RecordingSessionFactory(rate_card=chosen)

    form = web.get(reverse("money:choose", args=[session.pk])).context["form"]

    assert list(form.fields["rate_card"].queryset) == [chosen]
    assert retired.pk != chosen.pk
