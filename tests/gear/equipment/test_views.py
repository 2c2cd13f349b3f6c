import pytest
from django.urls import reverse

from gear.equipment.actions import report_fault
from gear.equipment.models import Fault, FaultState, GearModel, Unit, UnitState
from tests.factories import (
    ControlFactory,
    FaultFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    PatchPointFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db

# who is signed in (2), then the list itself, its length and the rooms to choose from
UNIT_LIST_QUERIES = 5
MODEL_LIST_QUERIES = 4
UNIT_QUERIES = 9
MODEL_QUERIES = 6


def tags(page):
    return [row.record.asset_tag for row in page.context["table"].rows]


def unit_facts(unit, **changes):
    return {
        "model": unit.model_id,
        "asset_tag": unit.asset_tag,
        "state": unit.state,
        "serial_number": "",
        "home_room": "",
        "rack": "",
        "slot": "",
        "supply": "",
        "note": "",
        "seen": unit.version,
    } | changes


def model_facts(**changes):
    return {
        "maker": "Hobweir",
        "name": "Wrackline 12",
        "category": "preamplifier",
        "phantom": "harmless",
        "warm_up_minutes": 0,
        "channels": 1,
        "phantom_bank": 1,
        "seen": 1,
    } | changes


def test_unit_list_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, django_assert_num_queries
):
    client = client_of(engineer)
    for more in (1, 2):
        for fault in FaultFactory.create_batch(more, reported_by=engineer):
            fault.unit.home_room = f"Room {fault.pk}"
            fault.unit.save()

        with django_assert_num_queries(UNIT_LIST_QUERIES):
            page = client.get(reverse("equipment:list"))

    assert len(tags(page)) == 3


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({"words": "gudgeon live"}, ["QS-1"]),
        ({"words": "qs-2"}, ["QS-2"]),
        ({"words": "7741"}, ["QS-2"]),
        ({"category": "microphone"}, ["QS-1"]),
        ({"state": "on_the_bench"}, ["QS-2"]),
        ({"home_room": "Live room"}, ["QS-1"]),
        ({"faults": "open"}, ["QS-2"]),
        ({"words": "nothing"}, []),
        ({}, ["QS-1", "QS-2"]),
    ],
)
def test_unit_list_is_narrowed(client_of, engineer, query, found):
    UnitFactory(
        model=MicrophoneModelFactory(name="Gudgeon"), asset_tag="QS-1", home_room="Live room"
    )
    bench = UnitFactory(asset_tag="QS-2", serial_number="7741", state=UnitState.ON_THE_BENCH)
    FaultFactory(unit=bench, reported_by=engineer)

    page = client_of(engineer).get(reverse("equipment:list"), query)

    assert sorted(tags(page)) == found


def test_unit_page_shows_wiring_faults_and_cautions(client_of, engineer):
    model = MicrophoneModelFactory(transducer="valve", own_supply=True, phantom="harmful")
    unit = UnitFactory(model=model)
    PatchPointFactory(unit=unit, socket="Output", bay__name="Bay 1", column=7)
    FaultFactory(unit=unit, description="Crackles", reported_by=engineer)

    page = client_of(engineer).get(unit.get_absolute_url())

    text = page.content.decode()
    assert "Bay 1 A7" in text
    assert "Crackles" in text
    assert "Switch the supply off and let it settle" in text
    assert "none is given" in text


def test_unit_page_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, django_assert_num_queries
):
    client, unit = client_of(engineer), UnitFactory()
    for more in (1, 2):
        PatchPointFactory.create_batch(more, unit=unit)
        FaultFactory.create_batch(more, unit=unit, reported_by=engineer)

        with django_assert_num_queries(UNIT_QUERIES):
            client.get(unit.get_absolute_url())


def test_assistant_is_offered_a_report_but_no_edit(client_of, assistant):
    unit = UnitFactory()

    text = client_of(assistant).get(unit.get_absolute_url()).content.decode()

    assert reverse("equipment:fault_create", args=[unit.pk]) in text
    assert reverse("equipment:unit_edit", args=[unit.pk]) not in text
    assert (
        client_of(assistant).get(reverse("equipment:unit_edit", args=[unit.pk])).status_code == 403
    )


def test_unit_is_created(client_of, engineer):
    model = GearModelFactory()
    client = client_of(engineer)

    start = client.get(reverse("equipment:unit_create"), {"model": model.pk})
    answer = client.post(
        reverse("equipment:unit_create"),
        {"model": model.pk, "asset_tag": "QS-9", "state": "in_service", "rack": "Rack 2"},
    )

    unit = Unit.objects.get()
    assert start.context["form"].initial["model"] == model.pk
    assert (unit.asset_tag, unit.rack) == ("QS-9", "Rack 2")
    assert answer.url == unit.get_absolute_url()


def test_unit_with_a_tag_that_is_taken_loses_nothing(client_of, engineer):
    taken = UnitFactory(asset_tag="QS-9")

    page = client_of(engineer).post(
        reverse("equipment:unit_create"), unit_facts(taken, note="From the attic")
    )

    assert page.context["form"].errors["asset_tag"] == ["Another unit carries this tag."]
    assert "From the attic" in page.content.decode()
    assert Unit.objects.count() == 1


def test_unit_edit_refuses_a_supply_that_is_none(client_of, engineer):
    unit, other = UnitFactory(), UnitFactory()

    page = client_of(engineer).post(
        reverse("equipment:unit_edit", args=[unit.pk]), unit_facts(unit, supply=other.pk)
    )

    assert list(page.context["form"].errors) == ["supply"]


def test_unit_edit_says_what_another_editor_saved_meanwhile(client_of, engineer, manager):
    unit = UnitFactory(rack="Rack 1")
    client, address = client_of(engineer), reverse("equipment:unit_edit", args=[unit.pk])
    seen = client.get(address).context["seen"]
    report_fault(unit, description="Crackles", to_bench=True, by=manager)

    mine = unit_facts(unit, state="in_service", rack="Rack 2", seen=seen)
    page = client.post(address, mine)

    assert page.status_code == 409
    assert "Saved by Odile Marrack" in page.text
    assert page.context["meanwhile"].differences == [
        ("State", "On the bench", "In service"),
        ("Rack", "Rack 1", "Rack 2"),
    ]
    unit.refresh_from_db()
    assert unit.state == UnitState.ON_THE_BENCH

    again = client.post(address, mine | {"seen": page.context["seen"]})

    unit.refresh_from_db()
    assert again.status_code == 302
    assert (unit.state, unit.rack) == (UnitState.IN_SERVICE, "Rack 2")


def test_model_list_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, django_assert_num_queries
):
    client = client_of(engineer)
    for more in (1, 2):
        UnitFactory.create_batch(more)

        with django_assert_num_queries(MODEL_LIST_QUERIES):
            page = client.get(reverse("equipment:models"))

    assert [row.record.unit_count for row in page.context["table"].rows] == [1, 1, 1]


def test_model_list_is_narrowed(client_of, engineer):
    gudgeon = MicrophoneModelFactory(name="Gudgeon")
    GearModelFactory(name="Wrackline")

    page = client_of(engineer).get(
        reverse("equipment:models"), {"words": "gud", "category": "microphone"}
    )

    assert [row.record for row in page.context["table"].rows] == [gudgeon]


def test_model_page_draws_the_current_panel(client_of, engineer, django_assert_num_queries):
    model = GearModelFactory()
    ControlFactory(panel=PanelFactory(model=model), label="Old gain")
    panel = PanelFactory(model=model, version=2)
    client = client_of(engineer)
    for more in (1, 2):
        ControlFactory.create_batch(more, panel=panel, label="Drive")
        UnitFactory.create_batch(more, model=model)

        with django_assert_num_queries(MODEL_QUERIES):
            text = client.get(model.get_absolute_url()).content.decode()

    assert text.count("<title>Drive: not logged</title>") == 3
    assert text.count("0 dB to 60 dB") == 3
    assert "Old gain" not in text


def test_model_is_created_with_its_facts(client_of, engineer):
    answer = client_of(engineer).post(
        reverse("equipment:model_create"), model_facts(max_output_dbu="26", nominal_level_dbu="4")
    )

    model = GearModel.objects.get()
    assert (float(model.max_output_dbu), str(model)) == (26.0, "Hobweir Wrackline 12")
    assert answer.url == model.get_absolute_url()


def test_model_that_is_there_already_is_refused_beside_its_name(client_of, engineer):
    GearModelFactory(maker="Hobweir", name="Wrackline 12")

    page = client_of(engineer).post(reverse("equipment:model_create"), model_facts())

    assert list(page.context["form"].errors) == ["name"]
    assert GearModel.objects.count() == 1


def test_model_edit_refuses_beside_the_field(client_of, engineer):
    model = MicrophoneModelFactory()

    page = client_of(engineer).post(
        reverse("equipment:model_edit", args=[model.pk]),
        model_facts(category="microphone", sensitivity_mv_pa="0", note="Kept"),
    )

    assert list(page.context["form"].errors) == ["sensitivity_mv_pa"]
    assert "Kept" in page.content.decode()
    assert "mV/Pa" in page.content.decode()


def test_assistant_reports_a_fault_and_sends_the_unit_to_the_bench(client_of, assistant):
    unit = UnitFactory()

    answer = client_of(assistant).post(
        reverse("equipment:fault_create", args=[unit.pk]),
        {"description": "No signal", "to_bench": "on"},
    )

    unit.refresh_from_db()
    assert answer.url == unit.get_absolute_url()
    assert (unit.state, Fault.objects.get().reported_by) == (UnitState.ON_THE_BENCH, assistant)


def test_fault_without_words_is_refused(client_of, assistant):
    unit = UnitFactory()

    page = client_of(assistant).post(
        reverse("equipment:fault_create", args=[unit.pk]), {"description": " "}
    )

    assert list(page.context["form"].errors) == ["description"]
    assert not Fault.objects.exists()


def test_fault_is_closed_and_the_unit_put_back(client_of, engineer):
    fault = FaultFactory(unit__state=UnitState.ON_THE_BENCH)

    answer = client_of(engineer).post(
        reverse("equipment:fault_edit", args=[fault.pk]),
        {"description": "Hums", "state": "closed", "remedy": "Resoldered", "put": "in_service"}
        | {"seen": 1},
    )

    fault.refresh_from_db()
    assert answer.url == fault.unit.get_absolute_url()
    assert (fault.state, fault.closed_at is None) == (FaultState.CLOSED, False)
    assert fault.unit.state == UnitState.IN_SERVICE


def test_fault_is_not_closed_without_a_remedy(client_of, engineer):
    fault = FaultFactory()

    page = client_of(engineer).post(
        reverse("equipment:fault_edit", args=[fault.pk]),
        {"description": "Hums only when warm", "state": "closed", "remedy": ""},
    )

    fault.refresh_from_db()
    assert list(page.context["form"].errors) == ["remedy"]
    assert "Hums only when warm" in page.content.decode()
    assert fault.state == FaultState.OPEN


@pytest.mark.parametrize(
    "page", ["unit_detail", "unit_edit", "fault_create", "fault_edit", "model_detail", "model_edit"]
)
def test_what_is_not_there_answers_404(client_of, engineer, page):
    assert client_of(engineer).get(reverse(f"equipment:{page}", args=[0])).status_code == 404
