"""Every kind of paper of a filled studio as a photocopier shows it: black or white, 150 dots to the inch,
on A4, A5 and US Letter. `DATA_DIR=… python -m tests.paper_pictures FOLDER`, after `manage.py demo`.

Of each kind the longest and the shortest that the studio has. Two pages or more stand on one picture.
"""

import argparse
import gc
import os
from pathlib import Path

import django
import pypdfium2
from django.utils import timezone
from PIL import Image

DOTS_PER_INCH = 150
ACROSS = 3  # pages on a picture


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", default="", help="kinds whose name has this in it")
    parser.add_argument("--size", action="append", help="a4, a5, letter; all unless given")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    django.setup()
    from sessions.papers.pdf import PaperSize

    for kind in kinds():
        name = kind.path.rpartition(".")[2].lower().replace("_", "-")
        if asked.only.lower() not in name:
            continue
        for which, (subject, contents) in longest_and_shortest(kind).items():
            for size in map(PaperSize, asked.size or PaperSize):
                pages = photocopied(print_paper(kind, subject, contents, size))
                for start in range(0, len(pages), ACROSS):
                    path = asked.folder / f"{name}-{which}-{size}-{start + 1:02}.png"
                    side_by_side(pages[start : start + ACROSS]).save(path)


def kinds() -> list:
    from sessions.papers.stored.kinds import PaperKind
    from studio import urls  # noqa: F401 (whose views import every kind)

    found = {each.path: each for each in gc.get_objects() if type(each) is PaperKind}
    return [found[path] for path in sorted(found)]


def longest_and_shortest(kind) -> dict:
    from django.template.loader import render_to_string

    made = []
    for subject in kind.subjects.all():
        contents = kind.contents(subject, "http://testserver/")
        facts = {"title": "", "printed_at": timezone.now(), "qr_code": ""}
        made.append(
            (len(render_to_string(kind.template, contents.context | facts)), subject, contents)
        )
    made.sort(key=lambda each: each[0])
    if not made:
        return {}
    found = {"longest": made[-1][1:]}
    return found | ({"shortest": made[0][1:]} if len(made) > 1 else {})


def print_paper(kind, subject, contents, size) -> bytes:
    from sessions.papers.pdf import render_pdf

    return render_pdf(
        kind.template,
        contents.context,
        title=kind.title(subject),
        base_url=kind.whole_address(subject, "http://testserver/"),
        printed_at=timezone.now(),
        size=size,
    )


def photocopied(pdf: bytes) -> list[Image.Image]:
    scale = DOTS_PER_INCH / 72
    pages = pypdfium2.PdfDocument(pdf)
    return [
        page.render(scale=scale, grayscale=True).to_pil().point(lambda dot: 255 * (dot >= 128))
        for page in pages
    ]


def side_by_side(pages: list[Image.Image]) -> Image.Image:
    whole = Image.new(
        "L",
        (sum(page.width for page in pages) + 8 * len(pages), max(page.height for page in pages)),
        128,
    )
    left = 0
    for page in pages:
        whole.paste(page, (left, 0))
        left += page.width + 8
    return whole.convert("1")


if __name__ == "__main__":
    main()
