"""Clients, people, rooms and the like are retired rather than deleted."""

from django import forms

HELP = "Keeps its past use, and hides it from lists and choices."


class RetirableForm(forms.ModelForm):
    """Asks whether the thing is `retired`, except of one that is new."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["retired"].help_text = HELP
        self.fields["name"].error_messages["unique"] = (
            "That name is taken, perhaps by a retired one: choose another."
        )
        if self.instance._state.adding:
            del self.fields["retired"]
