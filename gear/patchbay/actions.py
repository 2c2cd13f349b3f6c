from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError, Q

from gear.patchbay.models import Bay, Normal, PatchPoint, TieLine


@transaction.atomic
def save_row(
    bay: Bay, *, row: str, points: Sequence[PatchPoint], tie_lines: dict[int, TieLine]
) -> None:
    """Make these the points of a row, with the tie lines that come up at its columns.

    A point stays itself as long as its column stays. Raises ValidationError when a point that is
    left out is patched somewhere, or a normal would no longer lead from a source to an input.
    """
    standing = {point.column: point for point in bay.points.select_for_update().filter(row=row)}
    TieLine.objects.filter(point__bay=bay, point__row=row).delete()
    wanted = {point.column for point in points}
    for column, point in standing.items():
        if column not in wanted:
            _remove(point)
    for point in points:
        point.bay, point.row = bay, row
        if point.column in standing:
            point.pk = standing[point.column].pk
        point.save(force_update=point.pk is not None)
        if tie_line := tie_lines.get(point.column):
            tie_line.point = point
            tie_line.save(force_insert=True)
    for normal in _normals_of(bay, row):
        normal.clean()


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
    source: PatchPoint, *, destination: PatchPoint, pairs: int, kind: str
) -> list[Normal]:
    """Normal a run of points, column by column: source to destination, next to next, and so on.

    kind is a NormalKind, or "" to take the normals of these points away. Normals that the points
    had give way. Raises ValidationError for a point that is not there or on the wrong side.
    """
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
    return Normal.objects.bulk_create(normals)


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
