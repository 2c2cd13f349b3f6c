"""What a letter says stands in its plain text and in its HTML alike."""

from html.parser import HTMLParser

from sessions.letters.text import LetterText, Section

WHOLE = LetterText(
    greeting="Hello Windlass Four,",
    paragraphs=("Your session has moved.", "Two lines\nof one paragraph."),
    added_line="Bring the <old> horn.",
    changes=(
        ("Time", "Fri 4 Dec 2026, 10:00", "Sat 5 Dec 2026, 11:00"),
        ("Room", "", "Rope Floor"),
        ("Person", "Piran Tolle", ""),
    ),
    facts=(("Address", "1 Oakum Row\nPort"), ("Price", "")),
    sections=(
        Section(
            heading="Songs", facts=(("Key", "D"),), lines=("Slow the Lantern", "Neap & Spring")
        ),
    ),
    links=(("Listen here", "https://studio.example/d/abc/"),),
    last=("Please answer.",),
    closing="Quay Steps Studio\n01632 960100",
)


class Words(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found, self.addresses = [], []

    def handle_data(self, data):
        self.found.append(data)

    def handle_starttag(self, tag, attributes):
        self.addresses += [value for name, value in attributes if name in ("src", "href")]


def words_of(html):
    parser = Words()
    parser.feed(html)
    return " ".join(" ".join(parser.found).split()), parser.addresses


def test_plain_text_has_it_in_order():
    assert WHOLE.as_text() == (
        "Hello Windlass Four,\n\n"
        "Your session has moved.\n\n"
        "Two lines\nof one paragraph.\n\n"
        "Bring the <old> horn.\n\n"
        "What changed:\n"
        "- Time: was Fri 4 Dec 2026, 10:00\n  now Sat 5 Dec 2026, 11:00\n"
        "- Room: new: Rope Floor\n"
        "- Person: no longer Piran Tolle\n\n"
        "Address: 1 Oakum Row, Port\n\n"
        "Songs\nKey: D\n- Slow the Lantern\n- Neap & Spring\n\n"
        "Listen here:\nhttps://studio.example/d/abc/\n\n"
        "Please answer.\n\n"
        "Quay Steps Studio\n01632 960100\n"
    )


def test_html_says_the_same_words_and_loads_nothing():
    html = WHOLE.as_html("Moved: Säume")
    said, addresses = words_of(html)

    written = WHOLE.as_text().replace("- ", " ").replace(":", " ").replace(",", " ").split()
    read = said.replace(":", " ").replace(",", " ").split()
    assert sorted(read) == sorted([*written, "Moved", "Säume"])
    assert addresses == ["https://studio.example/d/abc/"]
    assert "&lt;old&gt;" in html


def test_what_somebody_typed_keeps_its_paragraphs_and_lines():
    text = LetterText.of_plain("Hello,\n\nsongs:\n- one\n- two  \n\n\nBye\n")

    assert text.paragraphs == ("Hello,", "songs:\n- one\n- two", "Bye")
    assert text.as_text() == "Hello,\n\nsongs:\n- one\n- two\n\nBye\n"


def test_empty_letter_says_nothing_twice():
    assert (LetterText().as_text(), words_of(LetterText().as_html(""))[0]) == ("\n", "")
