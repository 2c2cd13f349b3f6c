import re
from collections import Counter

from django import forms
from django.core.exceptions import ValidationError

from gear.equipment.models import SignalLevel, Unit, check_channel
from gear.patchbay.lines import (
    EXAMPLE,
    PointLine,
    points_from_text,
    points_to_text,
    tag_and_channel,
)
from gear.patchbay.models import Bay, NormalKind, PatchPoint, Side, TieLine

MULT = re.compile(r"mult\s+(.+)", re.IGNORECASE)
MULT_LENGTH = PatchPoint._meta.get_field("mult").max_length


class BayForm(forms.ModelForm):
    class Meta:
        model = Bay
        fields = ["name", "location", "note"]
        error_messages = {"name": {"unique": "There is a patch bay of this name already."}}
        help_texts = {"location": "Room and rack."}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}


class RowForm(forms.Form):
    """A row of a bay, one line a point."""

    side = forms.ChoiceField(
        choices=Side, help_text="Of the whole row; sources above, inputs below them."
    )
    level = forms.ChoiceField(choices=SignalLevel, help_text="Of the whole row.")
    points = forms.CharField(
        required=False,
        widget=forms.Textarea(attrs={"rows": 26, "class": "mono", "spellcheck": "false"}),
        help_text=(
            "One line per point: column; label; what is wired behind it (a unit’s tag, "
            "room / box / line of a wall box, or “mult” and a name for a jack of a mult); the "
            "unit’s socket; and level or side where they "
            f"differ from the row’s. For example: {EXAMPLE}. A line without a number stands next "
            "to the line before. Rows copied from a spreadsheet are understood."
        ),
    )

    def __init__(self, *args, bay, row, **kwargs):
        self.bay, self.row = bay, row
        super().__init__(*args, **kwargs)

    def clean(self):
        facts = super().clean()
        if not {"side", "level", "points"} <= facts.keys():
            return facts
        try:
            lines = points_from_text(facts["points"], level=facts["level"], side=facts["side"])
        except ValueError as error:
            self.add_error("points", error.args[0])
            return facts
        self._look_up(lines)
        return facts

    def refuse(self, refusal: ValidationError) -> None:
        self.add_error("points", refusal)

    def _look_up(self, lines: list[PointLine]) -> None:
        """Find the units and tie lines behind the points, and say which are not to be had."""
        wired = {line.wired: tag_and_channel(line.wired) for line in lines}
        tags = {tag for line, (tag, _) in wired.items() for tag in (line, tag)}
        found = Unit.objects.filter(asset_tag__in=tags).select_related("model")
        units = {unit.asset_tag: unit for unit in found}
        taken = self._tie_lines_elsewhere()
        self.patch_points, self.tie_lines = [], {}
        for line in lines:
            point = PatchPoint(
                column=line.column,
                label=line.label,
                level=line.level,
                side=line.side,
                unit=units.get(line.wired),
                socket=line.socket,
            )
            self.patch_points.append(point)
            tag, channel = wired[line.wired]
            if point.unit is None and channel and tag in units:
                point.unit, point.channel = units[tag], channel
                self._check_channel(point)
            if point.unit or not line.wired:
                continue
            if mult := MULT.fullmatch(line.wired):
                self._join(point, mult[1])
            else:
                self._tie(line, taken)

    def _check_channel(self, point: PatchPoint) -> None:
        try:
            check_channel(point.unit, point.channel)
        except ValidationError as error:
            self.add_error("points", f"Column {point.column}: {' '.join(error.messages)}")

    def _join(self, point: PatchPoint, mult: str) -> None:
        if len(mult) > MULT_LENGTH:
            self.add_error(
                "points",
                f"Column {point.column}: a mult’s name has at most {MULT_LENGTH} letters.",
            )
        point.mult = mult

    def _tie_lines_elsewhere(self) -> dict[tuple, str]:
        elsewhere = TieLine.objects.exclude(point__bay=self.bay, point__row=self.row)
        return {
            (tie_line.room, tie_line.box, tie_line.line): tie_line.point.name
            for tie_line in elsewhere.select_related("point__bay")
        }

    def _tie(self, line: PointLine, taken: dict[tuple, str]) -> None:
        try:
            tie_line = _tie_line(line.wired)
        except ValidationError as error:
            self.add_error("points", f"Column {line.column}: {error.message}")
            return
        end = (tie_line.room, tie_line.box, tie_line.line)
        if end in taken:
            self.add_error(
                "points", f"Column {line.column}: {tie_line} comes up at {taken[end]} already."
            )
        taken[end] = f"{self.row}{line.column}"
        self.tie_lines[line.column] = tie_line


def _tie_line(wired: str) -> TieLine:
    pieces = [piece.strip() for piece in wired.split("/")]
    if len(pieces) != 3 or not all(pieces) or not pieces[2].isdecimal() or len(pieces[2]) > 3:
        raise ValidationError(
            f"there is no unit with the tag “{wired}”. Write a unit’s tag, a wall box’s line "
            "like this: Room 1 / Box 1 / 3, or a mult like this: mult 1."
        )
    tie_line = TieLine(room=pieces[0], box=pieces[1], line=int(pieces[2]))
    try:
        tie_line.clean_fields(exclude=["point"])
    except ValidationError as error:
        raise ValidationError(" ".join(error.messages)) from None
    return tie_line


def row_facts(points: list[PatchPoint], row: str) -> dict:
    """What the row's form starts from: its points, and the side and level most of them have."""
    above = not row or (ord(row[-1]) - ord("A")) % 2 == 0
    side = _commonest([point.side for point in points]) or (Side.SEND if above else Side.RETURN)
    level = _commonest([point.level for point in points]) or SignalLevel.LINE
    return {
        "side": side,
        "level": level,
        "points": points_to_text(points, level=level, side=side),
    }


def mult_notices(points: list[PatchPoint]) -> list[str]:
    """What keeps the mults among a bay's points from being used."""
    jacks: dict[str, list[PatchPoint]] = {}
    for point in points:
        if point.mult:
            jacks.setdefault(point.mult, []).append(point)
    notices = []
    for mult, joined in sorted(jacks.items()):
        inputs = [point.place for point in joined if point.side == Side.RETURN]
        if len(inputs) > 1:
            notices.append(
                f"Mult {mult} has the inputs {' and '.join(inputs)}: it copies one source and "
                "never joins two. Make all but one of them sources."
            )
        elif not inputs:
            notices.append(f"Mult {mult} has no input: mark the jack that its source goes into.")
        if len(joined) - len(inputs) < 2:
            notices.append(f"Mult {mult} has fewer than two jacks to take copies from.")
    return notices


def _commonest(values: list[str]) -> str:
    return Counter(values).most_common(1)[0][0] if values else ""


class NormalForm(forms.Form):
    """A run of normals: the first source, the first input, and how many go on beside them."""

    source = forms.ModelChoiceField(None, label="From the source")
    destination = forms.ModelChoiceField(None, label="To the input")
    pairs = forms.IntegerField(
        min_value=1,
        max_value=96,
        initial=1,
        label="Pairs",
        help_text="How many: the columns to the right follow one by one.",
    )
    kind = forms.ChoiceField(
        required=False,
        choices=[
            (NormalKind.HALF, "Half-normalled: only a plug in the input breaks the link"),
            (NormalKind.FULL, "Normalled: a plug in either breaks the link"),
            ("", "Open: no link"),
        ],
        initial=NormalKind.HALF,
    )

    def __init__(self, *args, bay, **kwargs):
        super().__init__(*args, **kwargs)
        points = bay.points.for_list()
        self.fields["source"].queryset = points.filter(side=Side.SEND)
        self.fields["destination"].queryset = points.filter(side=Side.RETURN)

    def refuse(self, refusal: ValidationError) -> None:
        self.add_error("pairs", refusal)

    def differences(self, bay: Bay) -> list[tuple[str, str, str]]:
        """What each source of the run is normalled to now, and what was typed: source, both."""
        first, pairs = self.cleaned_data["source"], self.cleaned_data["pairs"]
        run = bay.points.filter(row=first.row, column__gte=first.column).with_links()[:pairs]
        kind = dict(self.fields["kind"].choices)[self.cleaned_data["kind"]].partition(":")[0]
        return [(point.place, point.normal_text or "Open", kind) for point in run]


def normal_facts(points: list[PatchPoint]) -> dict:
    """What the form starts from: the first open source, and the open input right below it."""
    inputs = {(point.row, point.column): point for point in points if point.side == Side.RETURN}
    rows = sorted({point.row for point in points})
    below = dict(zip(rows, rows[1:], strict=False))
    for point in points:
        under = inputs.get((below.get(point.row), point.column))
        if point.side == Side.SEND and under and not (point.normal_text or under.normal_text):
            return {"source": point, "destination": under}
    return {}
