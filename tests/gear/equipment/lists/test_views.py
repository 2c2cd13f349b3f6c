import csv
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from gear.equipment.models import GearModel, Unit
from tests.factories import GearModelFactory, MicrophoneModelFactory, UnitFactory

pytestmark = pytest.mark.django_db

UNITS, MODELS = reverse("equipment:import_units"), reverse("equipment:import_models")
# who is signed in (2), the list
CSV_QUERIES = 3


def rows(answer):
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def a_file(text):
    return SimpleUploadedFile("list.csv", text.encode() if isinstance(text, str) else text)


def test_units_go_out_as_the_list_shows_them(client_of, engineer, django_assert_num_queries):
    client = client_of(engineer)
    for more in (1, 2):
        UnitFactory.create_batch(more, rack="Rack B", note="=SUM(A1)")
        UnitFactory()

        with django_assert_num_queries(CSV_QUERIES):
            answer = client.get(
                reverse("equipment:list"), {"words": "rack", "sort": "-asset_tag", "csv": "1"}
            )
            head, *lines = rows(answer)

    assert answer["Content-Disposition"].startswith('attachment; filename="units-')
    assert head[:3] == ["tag", "maker", "model"]
    assert [line[0] for line in lines] == sorted((line[0] for line in lines), reverse=True)
    assert {line[-1] for line in lines} == {"'=SUM(A1)"}
    assert len(lines) == 3


def test_lists_that_went_out_come_back_in_and_change_nothing(client_of, engineer):
    supply = UnitFactory(model__category="supply")
    UnitFactory(model=MicrophoneModelFactory(own_supply=True), supply=supply, note="+ pouch")
    GearModelFactory(nominal_level_dbu="-10.0", note="Two\nlines")
    client = client_of(engineer)

    for out, back in (("equipment:list", UNITS), ("equipment:models", MODELS)):
        written = b"".join(client.get(reverse(out), {"csv": "1"}).streaming_content)
        plan = client.post(back, {"file": a_file(written)}).context["plan"]

        assert plan.problems == []
        assert (plan.to_make, plan.to_change) == ([], [])
        assert plan.unchanged_count > 1


def test_list_is_checked_first_and_then_brought_in(client_of, engineer):
    client = client_of(engineer)
    text = "maker,model,category\nHobweir,Wrackline 12,Preamplifier\n"

    checked = client.post(MODELS, {"file": a_file(text)})

    assert "1 to add, 0 to change" in checked.content.decode()
    assert not GearModel.objects.exists()

    form = checked.context["form"]
    answer = client.post(MODELS, {**form.initial, "import": "1"})

    assert answer.url == reverse("equipment:models")
    assert str(GearModel.objects.get()) == "Hobweir Wrackline 12"


def test_list_with_a_problem_is_all_still_there_and_brings_nothing_in(client_of, engineer):
    model = GearModelFactory(maker="Hobweir", name="Wrackline 12")
    text = f"tag,maker,model,state\nQS-1,{model.maker},{model.name},\nQS-2,Nobody,Nothing,broken\n"
    client = client_of(engineer)

    page = client.post(UNITS, {"text": text})
    again = client.post(UNITS, {**page.context["form"].initial, "import": "1"})

    shown = page.content.decode()
    assert "QS-2,Nobody,Nothing,broken" in shown
    assert "There is no such state" in shown
    assert "There is no such model" in shown
    assert 'name="import"' not in shown
    assert again.status_code == 409
    assert not Unit.objects.exists()


def test_list_changed_after_it_was_shown_is_shown_again(client_of, engineer):
    GearModelFactory(maker="Hobweir", name="Wrackline 12")
    text = "tag,maker,model\nQS-1,Hobweir,Wrackline 12\n"
    client = client_of(engineer)
    shown = client.post(UNITS, {"text": text}).context["form"].initial["shown"]

    page = client.post(
        UNITS, {"text": f"{text}QS-2,Hobweir,Wrackline 12\n", "shown": shown, "import": "1"}
    )

    assert page.status_code == 409
    assert "2 to add" in page.content.decode()
    assert not Unit.objects.exists()


@pytest.mark.parametrize(
    ("data", "field", "said"),
    [
        ({}, "file", "Choose a file"),
        ({"file": ("", b"tag\nCaf\xe9\n")}, "file", "Line 2: The file is not in UTF-8"),
        ({"file": ("", b"x" * 1_000_001)}, "file", "larger than 1 MB"),
    ],
)
def test_what_is_no_list_is_refused_beside_the_field(client_of, engineer, data, field, said):
    sent = {name: a_file(content) for name, (_, content) in data.items()} | {"shown": ""}

    page = client_of(engineer).post(UNITS, sent)

    assert said in page.context["form"].errors[field][0]


def test_assistant_takes_lists_out_but_brings_none_in(client_of, assistant):
    client = client_of(assistant)

    assert client.get(reverse("equipment:list"), {"csv": "1"}).status_code == 200
    assert client.get(UNITS).status_code == 403
