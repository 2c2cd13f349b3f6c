"""Paper: tagged, in our own fonts, the same for the same input, and closed to the outside."""

import io
import threading
from base64 import b64decode
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, HTTPServer

import pikepdf
import pytest
from django.utils.html import escape
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from sessions.papers.pdf import (
    Enclosure,
    PaperSize,
    print_markup,
    qr_code,
    render_pdf,
)
from tests.printed import (
    MILLIMETRE,
    elements,
    fonts_of,
    page_texts,
    pictures_in,
    text_of,
    words_of,
)

pytestmark = pytest.mark.django_db  # the letterhead
ADDRESS = "https://studio.quay-steps.example/songs/1/recall-sheet/"
PRINTED_AT = datetime(2026, 6, 1, 13, 5, tzinfo=UTC)
TWO_PAGES = """<!doctype html><html lang="en-GB"><head><title>Two pages</title></head>
<body><h1>The frost is on the morning</h1><p>Plain <b>strong</b> <i>slanted</i></p>
<section class="new-page"><p><span class="mono">M-01</span></p></section></body></html>"""


def typeset(markup):
    return print_markup(markup, title="A sheet", base_url=ADDRESS, printed_at=PRINTED_AT)


def render(printed_at=PRINTED_AT):
    return render_pdf(
        "print/paper.html", {}, title="A sheet", base_url=ADDRESS, printed_at=printed_at
    )


def test_same_input_gives_the_same_bytes():
    assert render() == render()
    assert render() != render(PRINTED_AT.replace(minute=6))


def test_paper_is_tagged_and_says_title_language_and_time():
    with pikepdf.open(io.BytesIO(render())) as pdf:
        root = pdf.Root

        assert bool(root.MarkInfo.Marked)
        assert len(root.StructTreeRoot.K) == 1
        assert str(root.Lang) == "en-GB"
        assert bool(root.ViewerPreferences.DisplayDocTitle)
        assert str(pdf.docinfo.Title) == "A sheet"
        assert str(pdf.docinfo.CreationDate) == "D:20260601130500Z"
        # ISO 14289-1, clause 5: the identification of a PDF/UA-1 file.
        assert pdf.open_metadata().get("{http://www.aiim.org/pdfua/ns/id/}part") == "1"


def test_paper_claims_pdf_a_3a_and_pdf_ua_1():
    """ISO 19005-3, 6.6.4; ISO 14289-1, clause 5. No tool at hand validates PDF/A: its parts are looked
    at one by one (6.2.2 output intent, 6.1.3 identifier, 6.1.2 no encryption)."""
    with pikepdf.open(io.BytesIO(render())) as pdf:
        said = pdf.open_metadata()
        described = str(pdf.Root.Metadata.read_bytes())

        assert said.pdfa_status == "3A"
        assert said.get("{http://www.aiim.org/pdfua/ns/id/}part") == "1"
        assert "PDF/UA Universal Accessibility Schema" in described
        assert described.count("<rdf:RDF") == 1
        (intent,) = pdf.Root.OutputIntents
        assert intent.S == "/GTS_PDFA1"
        # ICC.1:2022, 7.2.11: the signature of a profile.
        assert intent.DestOutputProfile.read_bytes()[36:40] == b"acsp"
        assert len(pdf.trailer.ID) == 2
        assert not pdf.is_encrypted
        assert "/JavaScript" not in pdf.Root.get("/Names", {})
        assert "/OpenAction" not in pdf.Root


TABLE = """<!doctype html><html lang="en-GB"><head><title>Takes</title></head><body><h1>Takes</h1>
<table><thead><tr><th scope="col">Part</th><th scope="col">Take</th></tr></thead>
<tbody><tr><th scope="row">Fiddle</th><td>7</td></tr></tbody></table></body></html>"""


def test_header_cells_say_what_they_head():
    """ISO 14289-1, 7.5: what kind of head it is, and a cell names those that head it."""
    with pikepdf.open(io.BytesIO(typeset(TABLE))) as pdf:
        part, take, fiddle, seven = (
            element for element in elements(pdf.Root.StructTreeRoot) if element.S in ("/TH", "/TD")
        )

        assert [str(head.A.Scope) for head in (part, take, fiddle)] == [
            "/Column",
            "/Column",
            "/Row",
        ]
        assert seven.S == "/TD"
        assert list(seven.A.Headers) == [fiddle.ID, take.ID]


def test_running_heads_are_artifacts():
    """ISO 14289-1, 7.8: nothing of the margins is in the order of reading."""
    with pikepdf.open(io.BytesIO(typeset(TWO_PAGES))) as pdf:
        page = pdf.pages[1]
        marked = [
            (str(operands[0]), list(operands[1:]))
            for operands, operator in pikepdf.parse_content_stream(page)
            if str(operator) in ("BDC", "BMC")
        ]
        content = [words[0].MCID for tag, words in marked if tag != "/Artifact"]
        numbers = pdf.Root.StructTreeRoot.ParentTree.Nums
        parents = numbers[list(numbers[::2]).index(page.StructParents) * 2 + 1]
        in_order = [number for number, parent in enumerate(parents) if parent is not None]

    heads = [words[0] for tag, words in marked if tag == "/Artifact" and words]
    assert {str(head.Type) for head in heads} == {"/Pagination"}
    assert len(heads) == 2  # the title and the page
    assert in_order == content


def test_enclosure_is_on_the_paper_as_its_data():
    """ISO 19005-3, 6.8: embedded, with its kind, and listed with what it is to the document."""
    enclosure = Enclosure("recall.json", b'{"song": "Slow the Lantern"}', "The same as data")
    papers = [
        render_pdf(
            "print/paper.html",
            {},
            title="A sheet",
            base_url=ADDRESS,
            printed_at=PRINTED_AT,
            enclosure=enclosure,
        )
        for _ in range(2)
    ]

    assert papers[0] == papers[1]
    with pikepdf.open(io.BytesIO(papers[0])) as pdf:
        (file,) = pdf.Root.AF
        stream = file.EF.F

        assert file.AFRelationship == "/Data"
        assert (str(file.UF), str(file.Desc)) == ("recall.json", "The same as data")
        assert stream.Subtype == "/application/json"
        assert stream.read_bytes() == enclosure.content
        assert list(pdf.attachments) == ["recall.json"]


def test_paper_shows_time_of_print_and_address_in_the_studios_zone():
    text = text_of(render())

    assert "Made on Mon 1 Jun 2026, 14:05" in text
    assert ADDRESS in text.replace(" ", "")


def test_pages_are_counted():
    first, second = page_texts(typeset(TWO_PAGES))

    assert "Page 1 of 2" in first
    assert "Page 2 of 2" in second
    assert "The frost is on the morning" in second  # the running header


def test_only_our_own_fonts_are_used_and_all_are_embedded():
    fonts = fonts_of(typeset(TWO_PAGES))

    assert fonts == {
        "Studio-Sans": True,
        "Studio-Sans-Semi-Bold": True,
        "Studio-Sans-Italic": True,
        "Studio-Mono": True,
    }


def test_signs_that_ours_lack_are_printed_by_the_fonts_of_the_machine():
    """DejaVu comes with fontconfig: it has Greek, Cyrillic and Arabic, whose letters run leftwards."""
    pdf = typeset(TABLE.replace("Fiddle", "Πνοή, Прилив, عود"))

    assert "Πνοή, Прилив, عود" in text_of(pdf)
    assert all(fonts_of(pdf).values())


NOBODYS = "\U0010fffd"  # of a private use area: no font has a letter for it


def test_sign_that_no_font_has_is_printed_as_its_number_and_the_paper_says_so():
    markup = TABLE.replace("Fiddle", f"{NOBODYS} &lt;b&gt;")
    pdf = print_markup(markup, title=f"Takes {NOBODYS}", base_url=ADDRESS, printed_at=PRINTED_AT)

    assert "[U+10FFFD] <b>" in text_of(pdf)
    assert "printed as their Unicode numbers: [U+10FFFD]." in text_of(pdf)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.docinfo.Title) == f"Takes {NOBODYS}"


@given(st.text(st.characters(codec="utf-8"), min_size=1, max_size=60))
@settings(max_examples=25, deadline=None)
def test_whatever_was_typed_is_printed(typed):
    pdf = typeset(TABLE.replace("Fiddle", escape(typed)))

    assert "Takes" in text_of(pdf)


def test_part_that_is_longer_than_a_page_goes_on_on_the_next():
    rows = "".join(f"<p>Line {number}</p>" for number in range(200))
    pdf = typeset(TABLE.replace("<table>", f'<div class="together">{rows}</div><table>'))

    pages = page_texts(pdf)
    printed = " ".join(pages)
    assert len(pages) == 5
    assert [number for number in range(200) if f"Line {number}" not in printed] == []


ROW = "<tr><td>Cord {0}</td><td>Bay one, jack label</td><td>Unit with a name</td></tr>"
PARTS = {
    "table": ("<table><tbody>{}</tbody></table>", ROW),
    "paragraphs": ("{}", "<p>Line {0}</p>"),
    "list": ("<ul>{}</ul>", "<li>Line {0}</li>"),
}


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("part", PARTS)
def test_what_is_kept_together_never_runs_off_the_page(part, size):
    """However much it is: about a page, a little more, and several pages."""
    whole, item = PARTS[part]
    counts = (6, 8, 10, 12, 14, 17, 20, 25, 40, 90, 200)
    parts = [
        f'<div class="together">{whole.format("".join(map(item.format, range(count))))}</div>'
        for count in counts
    ]
    markup = f"<html><body><h1>Parts</h1>{''.join(parts)}</body></html>"
    pdf = print_markup(markup, title="Parts", base_url=ADDRESS, printed_at=PRINTED_AT, size=size)

    foot = 8 * MILLIMETRE  # 12 mm, on A5 reduced
    items = [word for word in words_of(pdf) if word.text in ("Cord", "Line")]
    assert len(items) == sum(counts)
    assert [word for word in items if word.bottom < foot] == []


@pytest.mark.parametrize(
    ("markup", "printed"),
    [
        ("<table><caption>Cords</caption><tr><td>1</td></tr></table>", "Cords 1"),
        ("<table><tr><th scope=col>Cord</th></tr><tr><td>1</td></tr></table>", "Cord 1"),
        ("<table><tr><td><ul><li>in</li><li>out</li></ul></td></tr></table>", "in out"),
        ("<dl><dt>Key</dt><dd>D minor</dd><dt>Tempo</dt><dd>92</dd></dl>", "Key D minor Tempo 92"),
        ("<details><summary>More</summary><p>Less</p></details>", "More Less"),
        ("<figure>1<figcaption>Below</figcaption></figure>", "1 Below"),
        ("<pre>a  b</pre><blockquote>c</blockquote>", "a b c"),
        ("<p>Before<br>after</p>bare <q>words</q>", "Before after bare “words”"),
        ("<p title=x><u>under</u> <s>struck</s><sup>2</sup></p>", "under struck2"),
    ],
)
def test_whatever_html_says_is_printed(markup, printed):
    pdf = typeset(f"<html><body>{markup}</body></html>")

    assert printed in text_of(pdf)


@pytest.fixture
def picture(tmp_path):
    path = tmp_path / "picture.png"
    Image.new("RGB", (8, 8), "black").save(path)
    return path


@pytest.fixture
def neighbour(picture):
    """A server on this machine that hands out the picture, and counts who asks."""
    asked = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append(self.path)
            self.send_response(200)
            self.send_header("Content-Type", "image/png")
            self.end_headers()
            self.wfile.write(picture.read_bytes())

        def log_message(self, *_):
            pass

    server = HTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    thread.join()
    server.server_close()


def hostile(picture, server):
    data = "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg=="
    return f"""<!doctype html><html lang="en-GB"><head><title>Note</title>
<link rel="stylesheet" href="{server}/style.css"><link rel="attachment" href="{picture.as_uri()}">
<style>@import url({server}/more.css); @font-face {{ font-family: x; src: url({server}/x.ttf) }}
body {{ background: url({server}/back.png); font-family: x }}</style></head><body>
<img alt="1" src="{picture.as_uri()}"><img alt="2" src="{server}/picture.png">
<img alt="3" src="{data}"><img alt="4" src="picture.png">
<svg width="9" height="9"><title>5</title><image width="9" height="9" href="{picture.as_uri()}"/></svg>
<object data="{picture.as_uri()}"></object><embed src="{server}/embedded.png"></body></html>"""


def test_nothing_is_fetched_from_network_or_files(picture, neighbour):
    import weasyprint

    server, asked = neighbour
    markup = hostile(picture, server)
    careless = weasyprint.HTML(string=markup, base_url=picture.as_uri()).write_pdf()
    assert pictures_in(careless) > 0
    assert "/picture.png" in asked
    asked.clear()

    pdf = print_markup(markup, title="A note", base_url=picture.as_uri(), printed_at=PRINTED_AT)

    assert asked == []
    assert pictures_in(pdf) == 1  # which stands in the markup itself
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert list(opened.attachments) == []


def test_qr_code_stands_in_white_and_says_where_it_leads():
    """ISO/IEC 18004: version v has 17 + 4v modules a side, and 4 of white around it.

    51 bytes at level M need version 4 (62 bytes; version 3 holds 42).
    """
    image = qr_code(ADDRESS)

    side = 17 + 4 * 4 + 2 * 4
    drawn = b64decode(image.partition("base64,")[2].partition('"')[0]).decode()
    assert f'viewBox="0 0 {side} {side}"' in drawn
    assert f'alt="QR code to {ADDRESS}"' in image
