"""Clients, people, rooms and the like are retired rather than deleted."""

from django import forms


class RetirableForm(forms.ModelForm):
    """Asks whether the thing is `retired`, except of one that is new."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance._state.adding:
            del self.fields["retired"]
