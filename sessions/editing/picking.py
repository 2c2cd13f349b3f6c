"""Things chosen from a list that may be long: ticked or selected as any, and found by typing where
scripts run (`picks.js`)."""

from django import forms
from django.forms.widgets import Script

PICKS = Script("studio/js/picks.js", type="module")


class PickSeveral(forms.CheckboxSelectMultiple):
    """Its template renders a hundred ticks in a tenth of the time of Django's."""

    template_name = "sessions/editing/pick_several.html"
    option_inherits_attrs = False  # its template says what a tick has

    class Media:
        js = [PICKS]
        css = {"all": ["studio/css/picks.css"]}


class PickOne(forms.Select):
    """Shows a part of what may be chosen, where the address `asks` gives more as somebody types.

    `new` is the label of what may be made in its place: “New project”.
    """

    template_name = "sessions/editing/pick_one.html"

    class Media:
        js = [PICKS]
        css = {"all": ["studio/css/picks.css"]}

    def __init__(self, *, asks: str = "", new: str = "", attrs=None):
        data = {"data-picks": "", "data-asks": asks, "data-new": new}
        super().__init__((attrs or {}) | data)


class PickOrType(forms.TextInput):
    """A name that is typed; `known` ones are offered, and more by the address `asks`."""

    template_name = "sessions/editing/pick_or_type.html"

    class Media:
        js = [PICKS]
        css = {"all": ["studio/css/picks.css"]}

    def __init__(self, *, asks: str = "", attrs=None):
        super().__init__((attrs or {}) | {"data-picks": "", "data-asks": asks})
        self.known: list[str] = []

    def get_context(self, name, value, attrs):
        context = super().get_context(name, value, attrs)
        context["widget"]["known"] = self.known
        return context
