"""Drawings in strokes, straight into a PDF: what `gear.panels.strokes` names by an address."""

from collections.abc import Iterable

from gear.panels.strokes import SCHEME, Drawing, Stroke, commands, drawing_at


class Pictures(dict):
    """WeasyPrint's store of pictures by address, which draws those of `gear.panels.strokes` itself.

    Of every other address it knows nothing, so that those go to the fetcher.
    """

    def __contains__(self, address) -> bool:
        if address.startswith(SCHEME) and not super().__contains__(address):
            self[address] = Picture(drawing_at(address))
        return super().__contains__(address)


class Picture:
    """A drawing as WeasyPrint takes its images: it asks for the size, then lets it draw."""

    def __init__(self, drawing: Drawing):
        self.width, self.height = drawing.width, drawing.height
        self.operators = " ".join(_stroked(drawing.strokes)).encode()

    def get_intrinsic_size(self, _resolution, _font_size) -> tuple[float, float, float]:
        return self.width, self.height, self.width / self.height

    def draw(self, stream, width: float, height: float, _style) -> None:
        stream.transform(a=width / self.width, d=height / self.height)
        stream.stream.append(self.operators)


def _stroked(strokes: Iterable[Stroke]) -> Iterable[str]:
    """The operators (ISO 32000-1, table 59 and 60) that draw in black."""
    yield "0 G"
    for stroke in strokes:
        dashes = f"{stroke.dash:g} {stroke.dash:g}" if stroke.dash else ""
        yield f"{stroke.width:g} w [{dashes}] 0 d"
        yield from _path(stroke.path)
        yield "S"


def _path(path: str) -> Iterable[str]:
    """Every command with the point that it leads to: PDF knows no relative ones."""
    x = y = 0.0
    for letter, numbers in commands(path):
        if letter == "z":
            yield "h"
            continue
        if letter == "c":
            points = [n + (y if i % 2 else x) for i, n in enumerate(numbers)]
            x, y = points[-2:]
            yield f"{_figures(points)} c"
            continue
        x, y = _end(letter, numbers, x, y)
        yield f"{_figures((x, y))} {'m' if letter == 'M' else 'l'}"


def _end(letter: str, numbers: list[float], x: float, y: float) -> tuple[float, float]:
    match letter:
        case "M" | "L":
            return numbers[0], numbers[1]
        case "l":
            return x + numbers[0], y + numbers[1]
        case "H":
            return numbers[0], y
        case "h":
            return x + numbers[0], y
        case "V":
            return x, numbers[0]
        case "v":
            return x, y + numbers[0]
    raise ValueError(f"A drawing has no command {letter!r}.")


def _figures(numbers: Iterable[float]) -> str:
    return " ".join(f"{number:.2f}" for number in numbers)
