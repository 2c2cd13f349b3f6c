from hashlib import sha256

from django import forms


class SureForm(forms.Form):
    """What our record calls harmful is asked first, and saved when it is said twice."""

    is_sure = forms.CharField(required=False, widget=forms.HiddenInput)

    #: What is asked. The page then sends `is_sure` with the next press, which holds for that only:
    #: another choice may do other harm.
    asks: list[str] = []

    def ask(self, sentences: list[str]) -> None:
        asked = sha256("\n".join(sentences).encode()).hexdigest()
        if sentences and self.cleaned_data.get("is_sure") != asked:
            self.asks = sentences
            self.data = self.data.copy()
            self.data[self.add_prefix("is_sure")] = asked
            for sentence in sentences:
                self.add_error(None, sentence)
