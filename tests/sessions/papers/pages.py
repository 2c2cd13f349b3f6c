"""How a paper breaks into pages, measured in what was printed."""

import io
from collections.abc import Iterator

import pikepdf

from tests.printed import MILLIMETRE, Word, words_of

HEAD, FOOT, LEAST = 15 * MILLIMETRE, 12 * MILLIMETRE, 12 * MILLIMETRE
SAME_LINE = 2  # points


def page_faults(pdf: bytes) -> list[str]:
    """What a reader would call a bad break, in words; on a page that was not reduced."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        heights = [float(page.mediabox[3]) for page in document.pages]
        headings = list(_headings(document))
    pages: list[list[Word]] = [[] for _ in heights]
    for word in words_of(pdf):
        if word.bottom > FOOT and word.top < heights[word.page] - HEAD:
            pages[word.page].append(word)
    return [
        *(fault for number, words in enumerate(pages) for fault in _arrows(number, words)),
        *(
            f"page {number + 1} ends in its upper half"
            for number, words in enumerate(pages[:-1])
            if min((word.bottom for word in words), default=FOOT)
            > (heights[number] + FOOT - HEAD) / 2
        ),
        *(
            f"page {number + 1} is a line"
            for number, words in enumerate(pages)
            if _height(words) < SAME_LINE
        ),
        *(
            f"{title!r} stands at the foot of page {page + 1}"
            for title, page, top in headings
            if top - FOOT < LEAST
        ),
        *(
            f"{title!r} stands alone on page {page + 1}"
            for title, page, top in headings
            if title in ("Agreed", "Signed") and not any(word.bottom > top for word in pages[page])
        ),
    ]


def _headings(document) -> Iterator[tuple[str, int, float]]:
    """Title, page and upper edge of every heading."""
    numbers = {page.objgen: number for number, page in enumerate(document.pages)}

    def below(items):
        for item in items:
            page, _, _, top, _ = item.destination
            yield item.title, numbers[page.objgen], float(top)
            yield from below(item.children)

    with document.open_outline() as outline:
        yield from below(outline.root)


def _arrows(number: int, words: list[Word]) -> Iterator[str]:
    """Those that end a line: behind them nothing follows within the width of a blank or two."""
    for arrow, following in zip(words, [*words, None][1:], strict=True):
        if arrow.text == "→" and not (
            following and 0 <= following.left - arrow.right < 10 and following.top > arrow.bottom
        ):
            yield f"an arrow ends a line of page {number + 1}"


def _height(words: list[Word]) -> float:
    bottoms = [word.bottom for word in words]
    return max(bottoms, default=0) - min(bottoms, default=0)
