"""Reading papers back with libraries that had no part in making them: pypdf, pikepdf, PDFium."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from tempfile import NamedTemporaryFile

import pikepdf
import pypdf
import pypdfium2
from PIL import Image

MILLIMETRE = 72 / 25.4
TALLEST = 14  # points between the feet of two letters of a line


def text_of(pdf: bytes) -> str:
    """All pages' text, with every stretch of white space as one blank."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def page_texts(pdf: bytes) -> list[str]:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return [" ".join(page.extract_text().split()) for page in pages]


def fonts_of(pdf: bytes) -> dict[str, bool]:
    """Names of the fonts used, without the subset's prefix, and whether they are embedded."""
    found = {}
    for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            name = str(font.get_object()["/BaseFont"]).lstrip("/").partition("+")[2]
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            held = {"/FontFile2", "/FontFile3"}  # TrueType, or CFF
            found[name] = not held.isdisjoint(descendant["/FontDescriptor"])
    return found


def enclosed_in(pdf: bytes) -> dict[str, bytes]:
    """The files that the paper carries, by name."""
    attached = pypdf.PdfReader(io.BytesIO(pdf)).attachments
    return {name: contents[0] for name, contents in attached.items()}


#: TBL-010 takes more heads than cells for heads torn to pieces: so every table of one row whose first
#: cell heads it.
MISTAKEN = {"TBL-010"}


def accessibility_errors(pdf: bytes) -> list[str]:
    """What the PDF/UA-1 checker `outloud` calls an error."""
    from outloud import check

    with NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf)
        file.flush()
        found = check(file.name).findings
    return [
        f"{each.rule}: {each.message} {each.evidence}"
        for each in found
        if each.severity == "error" and each.rule not in MISTAKEN
    ]


def elements(element) -> Iterator[pikepdf.Dictionary]:
    """The tags under this one, in reading order."""
    if isinstance(element, pikepdf.Array):
        for each in element:
            yield from elements(each)
    elif isinstance(element, pikepdf.Dictionary):
        if "/S" in element:
            yield element
        yield from elements(element.get("/K"))


def pictures_in(pdf: bytes) -> int:
    return sum(len(page.images) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def rendered(pdf: bytes, *, dots_per_inch: int = 80) -> list[Image.Image]:
    """The pages as grey pictures, as a photocopy shows them."""
    document = pypdfium2.PdfDocument(pdf)
    return [
        page.render(scale=dots_per_inch / 72, grayscale=True).to_pil().convert("L")
        for page in document
    ]


@dataclass(frozen=True)
class Word:
    """A word with its box in points, counted from the lower left corner of the page."""

    text: str
    page: int
    left: float
    bottom: float
    right: float
    top: float

    def covers(self, other: "Word", *, slack: float = 0.75) -> bool:
        return (
            self.page == other.page
            and self.left + slack < other.right
            and other.left + slack < self.right
            and self.bottom + slack < other.top
            and other.bottom + slack < self.top
        )


def words_of(pdf: bytes) -> list[Word]:
    words = []
    for number, page in enumerate(pypdfium2.PdfDocument(pdf)):
        text_page = page.get_textpage()
        text, boxes = "", []
        for index in range(text_page.count_chars()):
            sign = text_page.get_text_range(index, 1)
            if sign.strip():
                box = text_page.get_charbox(index)
                if boxes and abs(box[1] - boxes[-1][1]) > TALLEST:  # on to the running head
                    words.append(_word(text, number, boxes))
                    text, boxes = "", []
                text += sign
                boxes.append(box)
            elif text:
                words.append(_word(text, number, boxes))
                text, boxes = "", []
        if text:
            words.append(_word(text, number, boxes))
    return words


def _word(text: str, page: int, boxes: list[tuple]) -> Word:
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return Word(text, page, min(lefts), min(bottoms), max(rights), max(tops))


def collisions(words: list[Word]) -> list[tuple[str, str]]:
    """Pairs of words printed over each other."""
    return [(a.text, b.text) for a, b in combinations(words, 2) if a.covers(b)]


def pictured_in(pdf: bytes) -> list[str]:
    """What its pictures are called for who can’t see them."""
    with pikepdf.open(io.BytesIO(pdf)) as paper:
        tags = elements(paper.Root.StructTreeRoot.K)
        return [str(each["/Alt"]) for each in tags if "/Alt" in each]


def leads_out(pdf: bytes) -> bool:
    """Whether it names the address of a page, links to one (ISO 32000-1, 12.6.4.7), or has a code."""
    with pikepdf.open(io.BytesIO(pdf)) as paper:
        notes = [each for page in paper.pages for each in page.get("/Annots", [])]
        linked = any("/URI" in each.get("/A", {}) for each in notes)
    text = text_of(pdf)
    coded = any("QR" in name for name in pictured_in(pdf))
    return linked or coded or "://" in text or "Current page" in text
