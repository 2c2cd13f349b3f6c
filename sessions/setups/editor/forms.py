from collections.abc import Iterable
from functools import partial

from django import forms
from django.core.exceptions import ValidationError

from gear.equipment.models import Category, Unit
from gear.patchbay.models import Side
from sessions.setups.chains.asking import asks_before_adding, why_ask
from sessions.setups.chains.availability import UnitChoices, pick
from sessions.setups.chains.fields import PointField, PointNames
from sessions.setups.chains.forms import StageForm, values_of
from sessions.setups.chains.sure import SureForm
from sessions.setups.models import Path, Revision, Stage


class NoteField(forms.CharField):
    """Lines end alike whether a form or a script sent them."""

    widget = forms.Textarea(attrs={"rows": 1})

    def to_python(self, value):
        return super().to_python(value).replace("\r\n", "\n")


class StageLineForm(StageForm):
    """A stage within the page of its whole chain: patch points are typed there as settings are."""

    path = forms.ChoiceField(choices=Path, widget=forms.Select)
    note = NoteField(required=False)
    patch_in = patch_out = None  # typed: see `_offer_points`
    cord_cm = None  # on the unit's own page
    seen = None  # the chain has one for all its stages

    def __init__(
        self,
        stage: Stage,
        *args,
        names: PointNames,
        in_session: Iterable[Revision] | None = None,
        **kwargs,
    ):
        self.names = names
        super().__init__(
            *args,
            unit=stage.unit,
            controls=stage.controls(),
            points=[],
            initial=values_of(stage),
            why_ask=partial(why_ask, stage, in_session=in_session),
            **kwargs,
        )

    def _offer_points(self, name: str, points, unit, side: Side) -> None:
        label = "Patched in at" if side == Side.RETURN else "Patched out at"
        self.fields[name] = PointField(self.names, label=label)


class AddForm(SureForm):
    """Which unit comes next in the chain, typed or chosen from the page's list."""

    unit = forms.CharField(
        label="Add a unit",
        help_text="Type its tag or a word of its name.",
        widget=forms.TextInput(
            attrs={"list": "units", "autocomplete": "off", "spellcheck": "false"}
        ),
    )

    before = forms.ChoiceField(label="In the chain", required=False)

    def __init__(
        self,
        *args,
        choices: UnitChoices,
        revision: Revision,
        in_session: list[Revision],
        begins: bool = False,
        **kwargs,
    ):
        super().__init__(*args, **kwargs)
        self.choices, self.chain, self.in_session = choices, revision.chain, in_session
        self.stages = list(revision.stages.all())
        self.fields["before"].choices = [
            ("", "where it belongs"),
            *((stage.position, f"before {stage}") for stage in self.stages),
            (len(self.stages) + 1, "last"),
        ]
        if begins:
            self.fields["unit"].widget.attrs["autofocus"] = True

    def position(self) -> int:
        """The one that was chosen, else that of its kind: a converter stays last."""
        if chosen := self.cleaned_data["before"]:
            return int(chosen)
        rank = _rank(self.cleaned_data["unit"])
        later = [stage.position for stage in self.stages if _rank(stage.unit) > rank]
        return min(later, default=len(self.stages) + 1)

    def clean_unit(self):
        try:
            return pick(self.choices, self.cleaned_data["unit"])
        except ValueError as problem:
            raise ValidationError(str(problem)) from problem

    def clean(self):
        facts = super().clean()
        if unit := facts.get("unit"):
            self.ask(asks_before_adding(self.chain, unit, self.in_session))
        return facts


#: In the order in which a signal goes through them; all others come between the last two.
_ORDER = (Category.MICROPHONE, Category.SUPPLY, Category.DI_BOX, Category.SPLITTER)


def _rank(unit: Unit) -> int:
    category = unit.model.category
    if category in _ORDER:
        return _ORDER.index(category)
    if category in (Category.PREAMPLIFIER, Category.CHANNEL):
        return len(_ORDER)
    return len(_ORDER) + (2 if category == Category.CONVERTER else 1)


class OneFieldForm(forms.Form):
    """One field of one stage as a page sends it: what was typed, and what stood there before."""

    stage = forms.CharField()
    name = forms.CharField()
    value = forms.CharField(required=False)
    was = forms.CharField(required=False)
    seen = forms.CharField(required=False)
    is_sure = forms.BooleanField(required=False)
