"""What of a paper's HTML reaches its typesetter."""

from base64 import b64encode

import pytest

from sessions.papers.paper_tree import paper_tree

BASE = "https://studio.example/recall/songs/1/"


def tree(body):
    return paper_tree(f"<!doctype html><html><body>{body}</body></html>", base_url=BASE)


def said(node):
    return node if isinstance(node, str) else [said(kid) for kid in node["kids"]]


def test_node_has_tag_classes_and_kids():
    assert tree('<p class="soft legend">Take <b>7</b></p>') == [
        {
            "tag": "p",
            "classes": ["soft", "legend"],
            "kids": ["Take ", {"tag": "b", "classes": [], "kids": ["7"]}],
        }
    ]


@pytest.mark.parametrize(
    ("markup", "shown"),
    [
        ("<p>\n  one\t two\n</p>\n\n<p>three</p>", [["one two"], ["three"]]),
        ("<p><b>one</b> <i>two</i></p>", [[["one"], " ", ["two"]]]),
        ("<p>one <br> two</p>", [["one", [], "two"]]),
        ("<div> <p>one</p> two <p>three</p> </div>", [[["one"], "two", ["three"]]]),
        ("<p>one <!-- two --> three</p>", [["one three"]]),
        ("<p>12\u00a0dB</p>", [["12\u00a0dB"]]),
        ("<p>a\x1fb</p>", [["ab"]]),
    ],
)
def test_white_space_is_what_html_shows_of_it(markup, shown):
    """CSS Text 3, 4.1.1: white space collapses, and goes where a line begins or ends."""
    assert [said(node) for node in tree(markup)] == shown


def test_picture_is_a_drawing_of_ours_or_its_words():
    svg = '<svg xmlns="http://www.w3.org/2000/svg"/>'
    address = f"data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"

    drawn, other, broken = tree(
        f'<img alt="A knob" src="{address}"><img alt="A file" src="file:///etc/hostname">'
        '<img alt="Broken" src="data:image/svg+xml;base64,x">'
    )

    assert (drawn["alt"], drawn["source"]) == ("A knob", svg)
    assert "source" not in other
    assert "source" not in broken


@pytest.mark.parametrize(
    ("href", "leads_to"),
    [
        ("/songs/2/", "https://studio.example/songs/2/"),
        ("#chain-1", "#chain-1"),
        ("mailto:maren@studio.example", "mailto:maren@studio.example"),
        ("file:///etc/hostname", None),
        ("javascript:alert(1)", None),
    ],
)
def test_link_leads_to_a_page_or_within_the_paper(href, leads_to):
    (link,) = tree(f'<a href="{href}">there</a>')

    assert link["href"] == leads_to


def test_scripts_and_styles_are_left_out():
    assert tree("<style>p{}</style><script>x</script><p>kept</p><svg><text>y</text></svg>") == [
        {"tag": "p", "classes": [], "kids": ["kept"]}
    ]


def test_cell_says_how_many_rows_and_columns_it_takes():
    (table,) = tree("<table><tr><td rowspan=2>a</td><td>b</td></tr></table>")

    first, second = table["kids"][0]["kids"]
    assert (first["rowspan"], first["colspan"]) == (2, 1)
    assert (second["rowspan"], second["colspan"]) == (1, 1)
