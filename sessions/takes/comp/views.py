from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_POST

from gear.asked import way_back, whole_number
from gear.comma_separated import csv_answer
from gear.editing.form_pages import edit_page, trail
from sessions.songs.models import LyricLine, Part, Song
from sessions.takes.actions import TakeRefused
from sessions.takes.comp.actions import choose, choose_open, grade, grade_with_note, split_line
from sessions.takes.comp.forms import GradeForm, SplitForm
from sessions.takes.comp.sheet import SUGGESTIONS, USABLE, Cell, CompSheet
from sessions.takes.models import CompGrade

CHOOSE, NOTE = "choose", "note"
GRADES = [str(number) for number in range(6)]  # 0 is not graded
#: What a press of a cell does, with the key that does it to the cell that has the focus.
MODES = [
    (CHOOSE, "Choose", "Enter"),
    *((grade, grade, grade) for grade in GRADES[1:]),
    ("0", "Not graded", "0"),
    (NOTE, "Note", "N"),
]


def _part_of(request, pk) -> Part:
    parts = Part.objects.visible_to(request.user).select_related("song__project", "performer")
    return get_object_or_404(parts, pk=pk)


def _cell_of(part: Part, named: str) -> tuple[Cell | None, list[int | None]]:
    """The cell that is named as `Cell.key`, and the take and the grade that its presser saw."""
    row, take, *saw = [*named.split("."), "", "", ""][:4]
    sheet = CompSheet(part, only=whole_number(take) or 0)
    cells = (cell for _row, cells in sheet.table for cell in cells)
    found = (cell for cell in cells if cell.row.key == row)
    return next(found, None), [whole_number(each) for each in saw]


def _no_cell(request, part: Part) -> HttpResponse:
    messages.error(request, "That line or that take is not in the comp any more: choose another.")
    return redirect(_address(part))


def _address(part: Part, **query) -> str:
    asked = QueryDict(mutable=True)
    asked.update({name: value for name, value in query.items() if value})
    page = reverse("comp:sheet", args=[part.pk])
    return f"{page}?{asked.urlencode()}" if asked else page


def _crumbs(part: Part) -> list[tuple[str, str]]:
    return [*trail(("Songs", "songs:list"), part.song), (f"Comp of {part}", _address(part))]


def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Lyric lines down, takes across: each line graded, and chosen from one of them."""
    part = _part_of(request, pk)
    before = whole_number(request.GET.get("before"))
    comp = CompSheet(part, in_pages=True, before=before)
    way = request.GET.get("way", "")
    mode = request.GET.get("mode", "")
    nothing = [None] * len(comp.rows)
    suggestion = comp.suggestion(way) if way in SUGGESTIONS else nothing
    context = {
        "part": part,
        "comp": comp,
        "rows": list(zip(comp.table, suggestion, strict=True)),
        "usable": USABLE,
        "columns": len(comp.takes) + 1 + (way in SUGGESTIONS),
        "ways": [(key, words) for key, (words, _work_out) in SUGGESTIONS.items()],
        "way": way if way in SUGGESTIONS else "",
        "modes": MODES,
        "mode": mode if mode in {key for key, _label, _press in MODES} else CHOOSE,
        "before": before,
        "undo": request.GET.get("undo", "").partition(":")[::2],
    }
    return TemplateResponse(request, "sessions/takes/comp/sheet.html", context)


@require_POST
def press(request: HttpRequest, pk: int) -> HttpResponse:
    """One cell was pressed: chosen (once more: no longer), graded, or its note asked for."""
    part, mode = _part_of(request, pk), request.POST.get("mode", "")
    cell, (chosen, graded) = _cell_of(part, request.POST.get("cell", ""))
    if cell is None:
        return _no_cell(request, part)
    at = f"{cell.row.key}.{cell.part.take_id}"
    if mode == NOTE:
        return redirect(f"{reverse('comp:note', args=[pk])}?cell={at}")
    undo = ""
    try:
        if mode == CHOOSE:
            wanted = None if chosen == cell.part.take_id else cell.part.take
            choose(part, cell.row, take=wanted, saw=chosen)
            before, now = chosen or cell.part.take_id, wanted.pk if wanted else ""
            undo = f"{CHOOSE}:{cell.row.key}.{before}.{now}."
        elif mode in GRADES:
            grade(cell, grade=int(mode) or None, saw=graded)
            undo = f"{graded or 0}:{at}..{int(mode) or ''}"
        else:
            messages.error(request, "A cell can’t be given that: use one of the buttons.")
    except TakeRefused as refusal:
        messages.error(request, str(refusal))
    keep, way, before = (request.POST.get(name) for name in ("keep", "way", "before"))
    return redirect(_address(part, mode=keep or mode, way=way, before=before, undo=undo))


@require_POST
def suggested(request: HttpRequest, pk: int) -> HttpResponse:
    """Where no take is chosen, choose the one that is suggested."""
    part, way = _part_of(request, pk), request.POST.get("way", "")
    before = whole_number(request.POST.get("before"))
    if way in SUGGESTIONS:
        count = choose_open(part, way=way, before=before)
        messages.success(request, f"{count} line{'' if count == 1 else 's'} chosen as suggested.")
    else:
        messages.error(request, "Choose which suggestion to use first.")
    return redirect(_address(part, before=before))


def note(request: HttpRequest, pk: int) -> HttpResponse:
    """The grade of a line in a take, with a note."""
    part = _part_of(request, pk)
    cell, _saw = _cell_of(part, request.GET.get("cell", ""))
    if cell is None:
        return _no_cell(request, part)
    form = GradeForm(
        request.POST or None,
        instance=cell.grade or CompGrade(take_part=cell.part, **cell.row.what),
    )
    return edit_page(
        request,
        form,
        save=lambda version: grade_with_note(cell, version=version, **form.cleaned_data),
        title=f"“{cell.row}” in take {cell.part.take.number}",
        then=f"“{cell.row}” in take {cell.part.take.number} saved.",
        crumbs=_crumbs(part),
    )


def split(request: HttpRequest, pk: int) -> HttpResponse:
    """Part a lyric line in two, so that each half can come from a take of its own."""
    lines = LyricLine.objects.filter(section__song__in=Song.objects.visible_to(request.user))
    line = get_object_or_404(lines.select_related("section__song"), pk=pk)
    song = line.section.song
    back = way_back(request, song.get_absolute_url())
    form = SplitForm(request.POST or None, line=line)
    return edit_page(
        request,
        form,
        thing=song,
        save=lambda version: split_line(line, version=version, **form.cleaned_data),
        compare=lambda _song: [("Line", LyricLine.objects.get(pk=pk).text, line.text)],
        title=f"Split “{line}”",
        then="Line split; both halves keep its choice and grades.",
        crumbs=trail(("Songs", "songs:list"), song),
        to=back,
    )


def as_csv(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """A row a line: its section, its words, the take chosen, the grade in each take."""
    part = _part_of(request, pk)
    comp = CompSheet(part)
    head = ["section", "line", "chosen", *(f"take {each.take.number}" for each in comp.takes)]
    numbers = {each.take_id: each.take.number for each in comp.takes}
    rows = (
        [
            row.section.name,
            row,
            numbers.get(chosen),
            *((cell.grade.grade or None) if cell.grade else None for cell in cells),
        ]
        for (row, cells), chosen in zip(comp.table, comp.chosen, strict=True)
    )
    return csv_answer(f"comp-{slugify(part.song)}-{slugify(part)}.csv", head, rows)
