import pytest
from django.urls import reverse
from django.utils import timezone

from gear.panels.models import Control, Panel
from tests.factories import ControlFactory, GearModelFactory, PanelFactory

pytestmark = pytest.mark.django_db

# who is signed in (2), the model, its panel, the controls, and the controls once more as seen
EDIT_QUERIES = 6


@pytest.fixture
def panel():
    return PanelFactory()


def address(model):
    return reverse("panels:edit", args=[model.pk])


def typed(**changes):
    return {
        "position": "",
        "label": "Gain",
        "group": "",
        "kind": "continuous",
        "unit": "dB",
        "scale": "linear",
        "marks_text": "0 @ 7:00, 30 @ 12:00, 60 @ 5:00",
        "meaning": "gain",
        "band": "",
        "tolerance_degrees": "5",
        "key": "",
    } | changes


def described(control, **changes):
    return typed(
        position=control.position,
        label=control.label,
        group=control.group,
        key=control.key,
        marks_text=control.marks_text(),
        **changes,
    )


def post(client, model, *controls, standing=0, seen=None):
    panel = model.current_panel() or Panel(model=model)
    data = {
        "seen": panel.fingerprint() if seen is None else seen,
        "controls-TOTAL_FORMS": len(controls),
        "controls-INITIAL_FORMS": standing,
    }
    for number, control in enumerate(controls):
        data |= {f"controls-{number}-{name}": value for name, value in control.items()}
    return client.post(address(model), data)


def errors(page):
    return [form.errors for form in page.context["formset"]]


def test_page_draws_each_control_and_leaves_room_for_more(client_of, engineer, panel):
    ControlFactory(panel=panel, label="Drive")

    page = client_of(engineer).get(address(panel.model))

    assert page.content.decode().count("<title>Drive: not logged</title>") == 1
    assert page.context["formset"].total_form_count() == 4
    assert "0 @ 7:00 =" in page.content.decode()


def test_page_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, panel, django_assert_num_queries
):
    client = client_of(engineer)
    for more in (1, 2):
        ControlFactory.create_batch(more, panel=panel)

        with django_assert_num_queries(EDIT_QUERIES):
            client.get(address(panel.model))


def test_controls_are_described_from_nothing(client_of, engineer):
    model = GearModelFactory()
    switch = typed(
        label="Pad", group="Input", kind="switch", marks_text="0 = out, -20 = in", meaning="pad"
    )

    answer = post(client_of(engineer), model, typed(), switch)

    gain, pad = model.current_panel().controls.all()
    assert answer.url == address(model)
    assert (gain.key, gain.position) == ("gain", 1)
    assert gain.marks[0] == {"value": 0.0, "angle": -150.0, "label": "0"}
    assert (pad.key, pad.position) == ("input-pad", 2)
    assert [mark["label"] for mark in pad.marks] == ["out", "in"]


def test_unchanged_blank_forms_are_passed_over(client_of, engineer):
    model = GearModelFactory()
    blank = typed(label="", kind="", unit="", marks_text="", meaning="other")

    post(client_of(engineer), model, typed(), blank)

    assert model.current_panel().controls.count() == 1


def test_control_is_put_in_before_the_one_at_its_place(client_of, engineer, panel):
    first = ControlFactory(panel=panel, label="First", position=1)
    second = ControlFactory(panel=panel, label="Second", position=2)

    post(
        client_of(engineer),
        panel.model,
        described(first),
        described(second),
        typed(label="Between", position=2),
        standing=2,
    )

    assert list(panel.controls.values_list("label", flat=True)) == ["First", "Between", "Second"]


def test_control_is_removed_from_an_open_panel(client_of, engineer, panel):
    gone = ControlFactory(panel=panel, label="Gone")
    kept = ControlFactory(panel=panel, label="Kept")

    post(
        client_of(engineer),
        panel.model,
        described(gone, **{"DELETE": "on"}),
        described(kept),
        standing=2,
    )

    assert [control.label for control in Control.objects.all()] == ["Kept"]


def test_fixed_panel_is_kept_and_the_page_says_so(client_of, engineer, panel):
    control = ControlFactory(panel=panel, label="Gain")
    Panel.objects.filter(pk=panel.pk).update(fixed_at=timezone.now())
    client = client_of(engineer)

    before = client.get(address(panel.model)).content.decode()
    post(client, panel.model, described(control) | {"label": "Drive"}, standing=1)

    assert "becomes the next version" in before
    assert panel.controls.get().label == "Gain"
    current = panel.model.current_panel()
    assert (current.version, current.controls.get().label) == (2, "Drive")
    assert current.controls.get().key == control.key


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"marks_text": "0 @ 7:00, loud @ 5:00"}, "marks_text", "“loud @ 5:00”"),
        ({"marks_text": "0 @ 7:00"}, "marks_text", "at least two marks"),
        ({"marks_text": "0 @ 5:00, 60 @ 7:00"}, "marks_text", "does not come after"),
        ({"scale": "log"}, "marks_text", "above zero"),
        ({"label": ""}, "label", "required"),
        ({"label": "♪"}, "key", "plain letters"),
        ({"tolerance_degrees": "wide"}, "tolerance_degrees", "number"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(client_of, engineer, changes, field, said):
    model = GearModelFactory()

    page = post(client_of(engineer), model, typed(group="", **{"band": "7"} | changes))

    [wrong] = errors(page)
    assert list(wrong) == [field]
    assert said in wrong[field][0]
    assert 'value="7"' in page.content.decode()
    assert not Panel.objects.exists()


def test_same_key_twice_is_refused(client_of, engineer):
    model = GearModelFactory()

    page = post(client_of(engineer), model, typed(), typed())

    assert [list(wrong) for wrong in errors(page)] == [[], ["key"]]
    assert "“gain”" in errors(page)[1]["key"][0]
    assert not Panel.objects.exists()


def test_panel_without_controls_is_refused(client_of, engineer, panel):
    control = ControlFactory(panel=panel)

    page = post(
        client_of(engineer), panel.model, described(control, **{"DELETE": "on"}), standing=1
    )

    assert "at least one control" in page.context["formset"].non_form_errors()[0]
    assert panel.controls.count() == 1


def test_second_editor_sees_both_versions_and_may_keep_theirs(client_of, engineer, panel):
    control = ControlFactory(panel=panel, key="gain", label="Gain")
    seen = panel.fingerprint()
    Control.objects.filter(pk=control.pk).update(label="Their gain")
    client, mine = client_of(engineer), described(control) | {"label": "My gain"}

    page = post(client, panel.model, mine, standing=1, seen=seen)

    text = page.content.decode()
    assert page.status_code == 409
    assert "Their gain; " in text
    assert "My gain; " in text
    assert panel.controls.get().label == "Their gain"

    post(client, panel.model, mine, standing=1, seen=page.context["seen"])

    assert panel.controls.get().label == "My gain"


def test_assistant_may_not_edit(client_of, assistant, panel):
    assert client_of(assistant).get(address(panel.model)).status_code == 403
