import pytest
from django.urls import reverse
from django.utils import timezone

from gear.equipment.models import GearModel
from gear.panels.models import Control, Panel
from tests.factories import ControlFactory, GearModelFactory, PanelFactory

pytestmark = pytest.mark.django_db

# who is signed in (2), the model, its panel, and the controls
EDIT_QUERIES = 5
# who is signed in (2), the model, its panels with their controls, and who edited them
VERSION_QUERIES = 5


@pytest.fixture
def panel():
    return PanelFactory()


def address(model):
    return reverse("panels:edit", args=[model.pk])


def typed(**changes):
    return {
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
        label=control.label,
        group=control.group,
        key=control.key,
        marks_text=control.marks_text(),
        **changes,
    )


def post(client, model, *controls, seen=None, **more):
    data = more | {
        "seen": GearModel.objects.get(pk=model.pk).version if seen is None else seen,
        "controls-TOTAL_FORMS": len(controls),
        "controls-INITIAL_FORMS": len(controls),
    }
    for number, control in enumerate(controls):
        data |= {f"controls-{number}-{name}": value for name, value in control.items()}
    return client.post(address(model), data)


def labels(page):
    return [form["label"].value() for form in page.context["formset"]]


def errors(page):
    return [form.errors for form in page.context["formset"]]


def test_page_draws_each_control_with_what_is_engraved(client_of, engineer, panel):
    ControlFactory(
        panel=panel,
        label="Drive",
        marks=[
            {"value": 0, "angle": -150, "label": "min"},
            {"value": 10, "angle": 150, "label": "max"},
        ],
    )

    text = client_of(engineer).get(address(panel.model)).content.decode()

    assert "<title>Drive: 0 dB to 10 dB</title>" in text
    assert ">min</text>" in text
    assert "0 @ 7:00 = min" in text


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


@pytest.mark.parametrize(
    ("press", "order", "row"),
    [
        ("up-1", ["Low", "Gain", "Meter"], 0),
        ("up-0", ["Gain", "Low", "Meter"], 0),
        ("down-1", ["Gain", "Meter", "Low"], 2),
        ("down-2", ["Gain", "Low", "Meter"], 2),
        ("copy-0", ["Gain", "Gain", "Low", "Meter"], 1),
        ("remove-1", ["Gain", "Meter"], 1),
        ("remove-2", ["Gain", "Low"], 1),
        ("add", ["Gain", "Low", "Meter", ""], 3),
        ("draw", ["Gain", "Low", "Meter"], None),
        ("up-9", ["Gain", "Low", "Meter"], None),
        ("burn-1", ["Gain", "Low", "Meter"], 1),
    ],
)
def test_rows_are_moved_and_nothing_is_saved_or_lost(client_of, engineer, press, order, row):
    model = GearModelFactory()
    rows = [
        typed(label="Gain", key="gain"),
        typed(label="Low", marks_text="loud @"),
        typed(label="Meter"),
    ]

    page = post(client_of(engineer), model, *rows, seen="abc", do=press)

    assert (labels(page), page.context["row"], page.context["seen"]) == (order, row, "abc")
    assert "Nothing was saved yet" not in page.content.decode()
    assert ("loud @" in page.content.decode()) == ("Low" in order)
    assert [form["key"].value() for form in page.context["formset"]].count("gain") == 1
    assert not Panel.objects.exists()


def test_rows_are_laid_out_from_a_generic_kind_after_those_that_are_there(client_of, engineer):
    model = GearModelFactory()
    client = client_of(engineer)

    page = post(
        client,
        model,
        typed(label="Clock"),
        do="lay-out",
        kind="Valve microphone supply with pattern knob",
    )

    assert labels(page) == ["Clock", "Power", "Pattern", "Low cut"]
    assert page.context["row"] == 1
    rows = [form.data for form in page.context["formset"]][0]

    client.post(address(model), rows.dict() | {"seen": 1})

    assert [control.key for control in model.current_panel().controls.all()] == [
        "clock",
        "power",
        "pattern",
        "low-cut",
    ]


def test_drawing_follows_what_is_typed(client_of, engineer):
    row = {f"controls-7-{name}": value for name, value in typed().items()} | {"row": "controls-7"}
    client = client_of(engineer)

    drawn = client.post(reverse("panels:draw"), row).content.decode()
    wrong = client.post(
        reverse("panels:draw"), row | {"controls-7-marks_text": "0 @ 7:00, 60 @ high"}
    ).content.decode()

    assert "<title>Gain: 0 dB to 60 dB</title>" in drawn
    assert ">30</text>" in drawn
    assert "errorlist" not in drawn
    assert "<svg" not in wrong.split("</div>")[0].split("errorlist")[0]
    assert 'id="controls-7-said"' in wrong
    assert "“60 @ high”" in wrong


def test_label_is_not_needed_for_a_drawing(client_of, engineer):
    row = {f"controls-0-{name}": value for name, value in typed(label="").items()}

    drawn = client_of(engineer).post(reverse("panels:draw"), row | {"row": "controls-0"})

    assert "<title>Knob, continuous: 0 dB to 60 dB</title>" in drawn.content.decode()


def test_control_is_taken_out_of_an_open_panel(client_of, engineer, panel):
    ControlFactory(panel=panel, label="Gone")
    kept = ControlFactory(panel=panel, label="Kept")

    post(client_of(engineer), panel.model, described(kept))

    assert [control.label for control in Control.objects.all()] == ["Kept"]


def test_versions_say_what_changed(client_of, engineer, panel, django_assert_num_queries):
    gain = ControlFactory(panel=panel, key="gain", label="Gain")
    low = ControlFactory(panel=panel, key="low", label="Low")
    ControlFactory(panel=panel, key="pad", label="Pad")
    Panel.objects.filter(pk=panel.pk).update(fixed_at=timezone.now())
    client = client_of(engineer)
    post(
        client,
        panel.model,
        described(low),
        described(gain) | {"tolerance_degrees": "2.5", "group": "Input"},
        typed(label="High"),
    )

    with django_assert_num_queries(VERSION_QUERIES):
        page = client.get(reverse("panels:versions", args=[panel.model_id]))

    newest, first = page.context["versions"]
    assert [(each.control.label, each.what, each.details) for each in newest.changes] == [
        ("Low", "changed", ("moved",)),
        ("Gain", "changed", ("group: none → Input", "tolerance: 5° → 2.5°", "moved")),
        ("High", "added", ()),
        ("Pad", "removed", ()),
    ]
    assert (first.changes, first.panel.is_fixed, newest.panel.is_fixed) == ((), True, False)
    assert reverse("changes:of", args=["model", panel.model_id]) in page.content.decode()


def test_fixed_panel_is_kept_and_the_page_says_so(client_of, engineer, panel):
    control = ControlFactory(panel=panel, label="Gain")
    Panel.objects.filter(pk=panel.pk).update(fixed_at=timezone.now())
    client = client_of(engineer)

    before = client.get(address(panel.model)).content.decode()
    post(client, panel.model, described(control) | {"label": "Drive"})

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
    ControlFactory(panel=panel)

    page = post(client_of(engineer), panel.model)

    assert "at least one control" in page.context["formset"].non_form_errors()[0]
    assert panel.controls.count() == 1


def test_second_editor_sees_both_versions_and_may_keep_theirs(client_of, engineer, panel):
    control = ControlFactory(panel=panel, key="gain", label="Gain")
    client, mine = client_of(engineer), described(control) | {"label": "My gain"}
    post(client, panel.model, described(control) | {"label": "Their gain"})

    page = post(client, panel.model, mine, seen=1)

    text = page.content.decode()
    assert page.status_code == 409
    assert "label: Their gain → My gain" in text
    assert panel.controls.get().label == "Their gain"

    post(client, panel.model, mine, seen=page.context["seen"])

    assert panel.controls.get().label == "My gain"


def test_assistant_may_not_edit(client_of, assistant, panel):
    assert client_of(assistant).get(address(panel.model)).status_code == 403
