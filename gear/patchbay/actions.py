"""Changes to a bay: its rows and its normals."""

from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError, Q
from simple_history.utils import bulk_create_with_history

from gear.editing.versions import claim_version
from gear.patchbay.models import Bay, Normal, PatchPoint, TieLine

POINT_FACTS = ("label", "level", "side", "unit_id", "channel", "socket", "mult")


@transaction.atomic
def save_row(
    bay: Bay,
    *,
    version: int,
    row: str,
    points: Sequence[PatchPoint],
    tie_lines: dict[int, TieLine],
) -> None:
    """Make these the points of a row, with the tie lines that come up at its columns.

    A point stays itself as long as its column stays. Raises EditedMeanwhile when somebody saved
    anything of the bay after `version`; ValidationError when a point that is left out is patched
    somewhere, or a normal would no longer lead from a source to an input.
    """
    _claim(bay, version, f"Row {row}")
    standing = {point.column: point for point in bay.points.filter(row=row).with_links()}
    _untie(standing, tie_lines)
    wanted = {point.column for point in points}
    for column, point in standing.items():
        if column not in wanted:
            _remove(point)
    for point in points:
        point.bay, point.row = bay, row
        _save_point(point, standing.get(point.column))
        if tie_line := tie_lines.get(point.column):
            _tie(tie_line, point)
    for normal in _normals_of(bay, row):
        normal.clean()


def _claim(bay: Bay, version: int, what: str) -> None:
    """The bay's version counts its rows and normals too, and its history says who edited them."""
    claim_version(bay, version)
    bay._change_reason = what
    bay.save()


def _untie(standing: dict[int, PatchPoint], tie_lines: dict[int, TieLine]) -> None:
    """Take away the tie lines that no longer come up where they did, so that they can move."""
    for column, point in standing.items():
        old, new = getattr(point, "tie_line", None), tie_lines.get(column)
        if old and (new is None or str(old) != str(new)):
            old.delete()


def _save_point(point: PatchPoint, before: PatchPoint | None) -> None:
    if before is None:
        point.save()
        return
    point.pk = before.pk
    if any(getattr(point, fact) != getattr(before, fact) for fact in POINT_FACTS):
        point.save(force_update=True)


def _tie(tie_line: TieLine, point: PatchPoint) -> None:
    if not TieLine.objects.filter(point=point).exists():
        tie_line.point = point
        tie_line.save(force_insert=True)


def _remove(point: PatchPoint) -> None:
    try:
        point.delete()
    except ProtectedError:
        raise ValidationError(
            f"{point.place} {point.label} is patched in a setup, so it stays: put its line back."
        ) from None


def _normals_of(bay: Bay, row: str):
    return Normal.objects.filter(
        Q(source__bay=bay, source__row=row) | Q(destination__bay=bay, destination__row=row)
    ).select_related("source", "destination")


@transaction.atomic
def set_normals(
    source: PatchPoint, *, version: int, destination: PatchPoint, pairs: int, kind: str
) -> list[Normal]:
    """Normal a run of points, column by column: source to destination, next to next, and so on.

    kind is a NormalKind, or "" to take the normals of these points away. Normals that the points
    had give way. Raises EditedMeanwhile as `save_row`; ValidationError for a point that is not
    there, on the wrong side, or a mult's.
    """
    _claim(source.bay, version, "Normals")
    sources, destinations = _run(source, pairs), _run(destination, pairs)
    Normal.objects.filter(Q(source__in=sources) | Q(destination__in=destinations)).delete()
    if not kind:
        return []
    normals = [
        Normal(source=upper, destination=lower, kind=kind)
        for upper, lower in zip(sources, destinations, strict=True)
    ]
    for normal in normals:
        normal.clean()
    return bulk_create_with_history(normals, Normal)


def _run(first: PatchPoint, length: int) -> list[PatchPoint]:
    columns = range(first.column, first.column + length)
    points = {
        point.column: point
        for point in PatchPoint.objects.filter(bay=first.bay_id, row=first.row, column__in=columns)
    }
    for column in columns:
        if column not in points:
            raise ValidationError(
                f"There is no point {first.row}{column}: choose fewer pairs, or add the point."
            )
    return [points[column] for column in columns]
