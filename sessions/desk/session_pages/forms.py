from django import forms

from sessions.bookings.models import Credit
from sessions.clients.models import Person


class CreditForm(forms.ModelForm):
    class Meta:
        model = Credit
        fields = ["person", "role", "instrument"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = Person.objects.current()
