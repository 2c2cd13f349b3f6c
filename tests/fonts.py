"""Make the static font files of the pages and the papers; run once, commit the result.

    pip install "fontTools[woff]" fontpkg-ibm-plex-sans fontpkg-ibm-plex-mono
    python -m tests.fonts

Source: IBM Plex Sans (variable, cut at one weight) and IBM Plex Mono, SIL Open Font License.
The licence reserves the name "Plex" for the unchanged fonts, so what is made here is called
Studio Sans and Studio Mono. Signs that the sources lack (flat, sharp, natural, boxes to tick)
are drawn below on the 1000-unit square of the sources.
"""

import importlib
from pathlib import Path

from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

HERE = Path(__file__).parents[1] / "studio/static/studio/fonts"
FACES = {
    ("Studio Sans", "Regular", 400): ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    ("Studio Sans", "SemiBold", 600): ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    ("Studio Sans", "Italic", 400): ("fontpkg_ibm_plex_sans", "IBMPlexSans-Italic[wdth,wght].ttf"),
    ("Studio Mono", "Regular", 400): ("fontpkg_ibm_plex_mono", "IBMPlexMono-Regular.ttf"),
    ("Studio Mono", "SemiBold", 600): ("fontpkg_ibm_plex_mono", "IBMPlexMono-SemiBold.ttf"),
}
RANGES = [(0x20, 0x7E), (0xA0, 0x17F), (0x2010, 0x2026), (0x2070, 0x208E), (0x2190, 0x2199)]
SIGNS = "ΔΩμˆ˚˜‰′″‹›⁄€™Ω∆−√∞≈≠≤≥♭♮♯□☐☑☒"
# Figures are tabular by default in both sources, so there is no tnum to keep.
FEATURES = ["kern", "mark", "mkmk", "ccmp", "locl", "frac", "numr", "dnom", "sups", "subs", "zero"]


def source(package: str, file: str, weight: int) -> TTFont:
    folder = Path(importlib.import_module(package).__file__).parent / "files"
    font = TTFont(folder / file, recalcTimestamp=False)
    if "fvar" in font:
        font = instantiateVariableFont(font, {"wght": weight, "wdth": 100})
    return font


def polygon(pen: TTGlyphPen, points: list[tuple[int, int]]) -> None:
    pen.moveTo(points[0])
    for point in points[1:]:
        pen.lineTo(point)
    pen.closePath()


def bar(pen, left, bottom, right, top, slant=0):
    """Draw one upright or slanted bar, clockwise."""
    polygon(pen, [(left, bottom), (left, top), (right, top + slant), (right, bottom + slant)])


def draw_sharp(pen, stroke):
    for left in (195, 360):
        bar(pen, left, -70, left + stroke * 4 // 5, 770)
    for bottom in (160, 430):
        bar(pen, 90, bottom, 510, bottom + stroke * 3 // 2, slant=90)


def draw_natural(pen, stroke):
    bar(pen, 170, 110, 170 + stroke * 4 // 5, 800)
    bar(pen, 430 - stroke * 4 // 5, -110, 430, 580)
    for bottom in (110, 400):
        bar(pen, 170, bottom, 430, bottom + stroke * 3 // 2, slant=80)


def draw_flat(pen, stroke):
    bar(pen, 170, 0, 170 + stroke, 800)
    pen.moveTo((170, 0))
    pen.lineTo((170, 330))
    pen.qCurveTo((240, 440), (330, 440))
    pen.qCurveTo((450, 440), (450, 320))
    pen.qCurveTo((450, 170), (170, 0))
    pen.closePath()
    inner = 170 + stroke
    pen.moveTo((inner, 110))
    pen.qCurveTo((450 - stroke, 230), (450 - stroke * 5 // 4, 310))
    pen.qCurveTo((450 - stroke * 5 // 4, 440 - stroke), (330, 440 - stroke))
    pen.qCurveTo((270, 440 - stroke), (inner, 310))
    pen.closePath()


def draw_box(pen, stroke):
    polygon(pen, [(30, 60), (30, 600), (570, 600), (570, 60)])
    near, far, low, high = 30 + stroke, 570 - stroke, 60 + stroke, 600 - stroke
    polygon(pen, [(near, low), (far, low), (far, high), (near, high)])


def draw_ticked_box(pen, stroke):
    draw_box(pen, stroke)
    polygon(pen, [(140, 330), (195, 385), (265, 305), (430, 500), (485, 450), (265, 205)])


def draw_crossed_box(pen, stroke):
    draw_box(pen, stroke)
    polygon(pen, [(155, 235), (395, 475), (445, 425), (205, 185)])
    polygon(pen, [(155, 425), (205, 475), (445, 235), (395, 185)])


DRAWN = {
    "♯": draw_sharp,
    "♮": draw_natural,
    "♭": draw_flat,
    "□": draw_box,
    "☐": draw_box,
    "☑": draw_ticked_box,
    "☒": draw_crossed_box,
}


def add_glyph(font: TTFont, sign: str, glyph, width: int) -> None:
    name = f"uni{ord(sign):04X}"
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"].glyphs[name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (width, glyph.xMin)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(sign)] = name


def add_drawn_signs(font: TTFont, weight: int) -> None:
    for sign, draw in DRAWN.items():
        pen = TTGlyphPen(None)
        draw(pen, 60 if weight == 400 else 84)
        add_glyph(font, sign, pen.glyph(), 600)


def borrow_greek(font: TTFont, weight: int) -> None:
    """Give the mono face the capital omega and delta of the sans, narrowed to its width."""
    sans = source("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf", weight)
    known = font.getBestCmap()
    for sign in "ΩΔ":
        if ord(sign) in known:
            continue
        name = sans.getBestCmap()[ord(sign)]
        outline = DecomposingRecordingPen(sans.getGlyphSet())
        sans.getGlyphSet()[name].draw(outline)
        pen = TTGlyphPen(None)
        squeeze = 600 / sans["hmtx"][name][0]
        outline.replay(TransformPen(pen, (squeeze, 0, 0, 1, 0, 0)))
        add_glyph(font, sign, pen.glyph(), 600)


def rename(font: TTFont, family: str, style: str) -> None:
    """Give the file its own name; the copyright and licence entries stay as they are."""
    names = font["name"]
    base = style if style in ("Regular", "Italic") else "Regular"
    entries = {
        1: family if base == style else f"{family} {style}",
        2: base,
        3: f"{family} {style}",
        4: f"{family} {style}",
        6: f"{family.replace(' ', '')}-{style}",
        16: family,
        17: style,
    }
    for record in list(names.names):
        if record.nameID not in (0, 13, 14):
            names.removeNames(nameID=record.nameID)
    for key, text in entries.items():
        names.setName(text, key, 3, 1, 0x409)


def make(family: str, style: str, weight: int, package: str, file: str) -> None:
    font = source(package, file, weight)
    add_drawn_signs(font, weight)
    borrow_greek(font, weight)
    options = Options(layout_features=FEATURES, name_IDs=["*"], hinting=False, notdef_outline=True)
    subsetter = Subsetter(options)
    wanted = {code for first, last in RANGES for code in range(first, last + 1)}
    subsetter.populate(unicodes=wanted | {ord(sign) for sign in SIGNS})
    subsetter.subset(font)
    rename(font, family, style)
    path = HERE / f"{family.replace(' ', '')}-{style}.ttf"
    font.save(path)
    font.flavor = "woff2"
    font.save(path.with_suffix(".woff2"))


if __name__ == "__main__":
    for (family, style, weight), (package, file) in FACES.items():
        make(family, style, weight, package, file)
