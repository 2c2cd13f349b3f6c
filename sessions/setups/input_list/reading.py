"""An input list as a file: read into the table, where it is looked at before it is saved."""

from django import forms
from django.core.exceptions import ValidationError

from gear.comma_separated import Unreadable, decoded, read_lines
from gear.lists.forms import LARGEST_FILE
from sessions.setups.input_list.lines import COLUMNS

MOST_LINES = 128


class ListFileForm(forms.Form):
    file = forms.FileField(
        label="A list as a file",
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv,text/plain"}),
        help_text="CSV in UTF-8 with the columns of this table. You see a preview first; Save saves it.",
    )

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > LARGEST_FILE:
            raise ValidationError("This file is larger than 1 MB.")
        return file

    def clean(self):
        facts = super().clean()
        if file := facts.get("file"):
            try:
                facts["lines"] = lines_from(decoded(file.read()))
            except Unreadable as problem:
                self.add_error("file", f"Line {problem.line}: {problem}")
        return facts


def lines_from(text: str) -> list[dict[str, str]]:
    """A line for each row of the list, by column. Raises Unreadable that says what would do."""
    keys = {head.casefold(): key for key, head in COLUMNS.items()}
    rows = list(read_lines(text))
    if not rows:
        raise Unreadable(1, "This list is empty.")
    (first, heads), *rows = rows
    unknown = [head for head in heads if head and head.casefold() not in keys]
    if unknown or "source" not in [keys.get(head.casefold()) for head in heads]:
        said = (
            f"“{unknown[0]}” is not a column of this list"
            if unknown
            else "the column Source is missing"
        )
        raise Unreadable(first, f"{said}. Its columns are {', '.join(COLUMNS.values())}.")
    if len(rows) > MOST_LINES:
        raise Unreadable(rows[MOST_LINES][0], f"A list has at most {MOST_LINES} lines.")
    return [
        {keys[head.casefold()]: cell for head, cell in zip(heads, cells, strict=False) if head}
        for _, cells in rows
    ]
