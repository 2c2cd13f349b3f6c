import pytest
from django.utils import timezone

from gear.editing.versions import EditedMeanwhile
from gear.panels.actions import revise_panel
from gear.panels.models import Control, Panel
from tests.factories import ControlFactory, GearModelFactory, PanelFactory

pytestmark = pytest.mark.django_db


def described(*labels):
    return [ControlFactory.build(panel=None, key=label.lower(), label=label) for label in labels]


def labels(panel):
    return list(panel.controls.values_list("position", "label"))


def fix(panel):
    Panel.objects.filter(pk=panel.pk).update(fixed_at=timezone.now())


def test_first_panel_of_a_model_is_version_one(engineer):
    model = GearModelFactory()

    panel = revise_panel(Panel(model=model), controls=described("Gain", "Pad"), by=engineer)

    assert panel.version == 1
    assert labels(panel) == [(1, "Gain"), (2, "Pad")]


def test_open_panel_is_changed_in_place(engineer):
    panel = PanelFactory()
    ControlFactory(panel=panel, label="Old")

    revised = revise_panel(panel, controls=described("Gain"), by=engineer)

    assert revised == panel
    assert labels(panel) == [(1, "Gain")]


def test_fixed_panel_stays_and_the_next_version_is_made(engineer):
    panel = PanelFactory()
    ControlFactory(panel=panel, label="Gain", position=1)
    fix(panel)

    revised = revise_panel(panel, controls=described("Drive", "Pad"), by=engineer)

    assert (revised.version, revised.is_fixed) == (2, False)
    assert labels(revised) == [(1, "Drive"), (2, "Pad")]
    assert labels(panel) == [(1, "Gain")]
    assert panel.model.current_panel() == revised


def test_older_panel_in_hand_changes_the_current_one(engineer):
    old = PanelFactory()
    current = PanelFactory(model=old.model, version=2)

    assert revise_panel(old, controls=described("Gain"), by=engineer) == current


def test_saving_what_is_there_makes_no_version(engineer):
    panel = PanelFactory()
    control = ControlFactory(panel=panel)
    fix(panel)

    assert revise_panel(panel, controls=[control], by=engineer) == panel
    assert Panel.objects.count() == 1


def test_panel_that_somebody_changed_meanwhile_is_left(engineer):
    panel = PanelFactory()
    revise_panel(panel, controls=described("Theirs"), by=engineer, version=1)

    with pytest.raises(EditedMeanwhile) as refused:
        revise_panel(panel, controls=described("Mine"), by=engineer, version=1)

    assert refused.value.current == panel.model
    assert labels(panel) == [(1, "Theirs")]


def test_who_changed_the_controls_stands_in_the_models_history(engineer):
    model = GearModelFactory()

    revise_panel(Panel(model=model), controls=described("Gain"), by=engineer)

    latest = model.history.first()
    assert latest.history_user == engineer
    assert latest.history_change_reason == "Controls of panel 1"


def test_control_that_stays_is_the_same_row_and_its_change_is_told_from_what_to_what(engineer):
    panel = revise_panel(
        Panel(model=GearModelFactory()), controls=described("Gain", "Pad", "Output"), by=engineer
    )
    rows = dict(panel.controls.values_list("key", "pk"))

    output, gain = described("Output", "Gain")
    gain.unit = "dBu"
    revise_panel(panel, controls=[output, gain], by=engineer)

    assert dict(panel.controls.values_list("key", "pk")) == {
        "output": rows["output"],
        "gain": rows["gain"],
    }
    assert labels(panel) == [(1, "Output"), (2, "Gain")]
    kept = Control.history.filter(history_user=engineer)
    assert list(kept.filter(id=rows["gain"]).values_list("history_type", "position", "unit")) == [
        ("~", 2, "dBu"),
        ("+", 1, "dB"),
    ]
    assert [each.history_type for each in kept.filter(id=rows["pad"])] == ["-", "+"]
