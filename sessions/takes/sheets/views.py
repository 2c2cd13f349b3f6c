"""The lists that stand on the sheets as comma-separated values."""

from collections.abc import Iterable, Iterator

from django.http import HttpRequest, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from gear.comma_separated import csv_answer
from sessions.papers.stored.kinds import PaperKind
from sessions.takes.comp.lines import lines_of
from sessions.takes.sheets.track_sheet import TracksOfSetup

LINES = ["section", "line", "from", "to", "take"]
TRACKS = [
    *("session", "setup", "track", "parts", "performer", "source", "microphone or DI box"),
    *("then through", "converter input", "format"),
]


@require_safe
def lyrics_csv(request: HttpRequest, pk: int, kind: PaperKind) -> StreamingHttpResponse:
    """A row a line, and for a part the take that its comp has it from."""
    subject = get_object_or_404(kind.subjects.visible_to(request.user), pk=pk)
    song, part = (subject.song, subject) if hasattr(subject, "song") else (subject, None)
    rows = (
        [
            line.section.name,
            line.line,
            line.begins,
            line.ends,
            line.take.number if line.take else None,
        ]
        for line in lines_of(song, part)
    )
    return _answer(kind, subject, LINES, rows)


@require_safe
def tracks_csv(request: HttpRequest, pk: int, kind: PaperKind) -> StreamingHttpResponse:
    """A row a track."""
    subject = get_object_or_404(kind.subjects.visible_to(request.user), pk=pk)
    setups = kind.contents(subject, "").context["setups"]
    return _answer(kind, subject, TRACKS, _track_rows(setups))


def _track_rows(setups: Iterable[TracksOfSetup]) -> Iterator[list]:
    for group in setups:
        for track in group.tracks:
            yield [
                group.setup.session.title,
                group.setup.name,
                track.name,
                track.part_names,
                track.performers,
                track.revision.source_facts.name,
                track.first.facts.unit if track.first else None,
                track.units_behind,
                track.revision.chain.destination_input,
                track.format,
            ]


def _answer(kind: PaperKind, subject, head: list[str], rows) -> StreamingHttpResponse:
    return csv_answer(f"{slugify(kind.title(subject), allow_unicode=True)}.csv", head, rows)
