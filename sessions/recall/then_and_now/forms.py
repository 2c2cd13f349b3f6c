from django import forms

from sessions.recall.rebuilds.lines import ChainChecklist, ControlLine, StageLine
from sessions.recall.then_and_now.actions import Set
from sessions.recall.then_and_now.ways import name_of
from sessions.setups.chains.fields import SettingField


class TurnsForm(forms.Form):
    """How controls were set after a proposal: `turn` names each, as often as there are, and beside it stand
    its value and which tick was seen. Typed values are read as on the checklist."""

    def __init__(self, data, *, chain: ChainChecklist):
        super().__init__(data)
        lines = {
            name_of(stage, line.control): (stage, line)
            for stage in chain.in_use
            for line in stage.controls
        }
        self.turned: dict[str, tuple[StageLine, ControlLine]] = {
            name: lines[name] for name in data.getlist("turn") if name in lines
        }
        self.is_gone = len(self.turned) != len(set(data.getlist("turn")))
        for name, (_, line) in self.turned.items():
            self.fields[name] = SettingField(line.control)
            self.fields[name].label = line.control.label
            self.fields[f"{name}-seen"] = forms.IntegerField(min_value=0)

    def clean(self):
        facts = super().clean()
        if self.is_gone or not self.turned:
            raise forms.ValidationError(
                "What was to be turned is no longer on the panel: another unit was chosen meanwhile."
            )
        for name, (_, line) in self.turned.items():
            if name not in self.errors and facts.get(name) is None:
                self.add_error(name, f"Type how {line.control.label} is set.")
        return facts

    def turns(self) -> list[Set]:
        facts = self.cleaned_data
        return [
            Set(stage.step, line.control.key, facts[name], facts[f"{name}-seen"])
            for name, (stage, line) in self.turned.items()
        ]
