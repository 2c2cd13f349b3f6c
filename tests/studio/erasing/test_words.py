import pytest

from studio.erasing.words import words_of


def words(**facts):
    nothing = {"names": [], "emails": [], "phones": [], "places": []}
    return words_of(
        **nothing | {"instead": "Erased person 7", "address": "person-7-{}@erased.invalid"} | facts
    )


@pytest.mark.parametrize(
    ("text", "erased"),
    [
        ("Ysolde Farrant sings", "Erased person 7 sings"),
        ("YSOLDE  FARRANT,\nvocals", "Erased person 7,\nvocals"),
        ("told ysolde\nfarrant’s sister", "told Erased person 7’s sister"),
        ("Ysolde Farrantly, Aysolde Farrant", "Ysolde Farrantly, Aysolde Farrant"),
        ("Ysolde", "Ysolde"),
        ("", ""),
    ],
)
def test_name_is_replaced_as_whole_words_however_written(text, erased):
    assert words(names=["Ysolde Farrant"]).erased(text) == erased


@pytest.mark.parametrize(
    "text",
    ["Ysolde O'Farrant", "ysolde o’farrant", "Ysolde O&#x27;Farrant", "Ysolde\nO&rsquo;Farrant"],
)
@pytest.mark.parametrize("name", ["Ysolde O’Farrant", "Ysolde O'Farrant"])
def test_name_with_an_apostrophe_is_replaced_in_html_too(name, text):
    sought = words(names=[name])

    assert sought.erased(text) == "Erased person 7"
    assert sought.anywhere[0].longest_part in ("Farrant", "Ysolde")


@pytest.mark.parametrize(
    ("name", "text"),
    [("Hob & Gill", "Hob &amp; Gill"), ("Farrant, Ysolde", r"FARRANT\, Ysolde")],
)
def test_name_is_replaced_where_a_letter_or_a_calendar_escapes_it(name, text):
    assert words(names=[name]).erased(f"SUMMARY:{text}.") == "SUMMARY:Erased person 7."


@pytest.mark.parametrize("text", ["01632 960987", "01632960987", "(01632) 960987", "01632-960987"])
def test_telephone_number_is_replaced_however_it_is_spaced(text):
    sought = words(phones=["01632 960987"])

    assert "960987" not in sought.erased(f"Ring {text}.")
    assert sought.erased("Order 101632 9609871.") == "Order 101632 9609871."


def test_of_a_name_within_a_name_nothing_is_left():
    both = words(names=["Ysolde Farrant", "Ysolde Farrant Trio"])

    assert both.erased("The Ysolde Farrant Trio") == "The Erased person 7"


def test_documents_are_replaced_in_keys_and_values():
    told = {"Ysolde Farrant": [{"who": "Ysolde Farrant", "at": 3}], "else": None}

    erased = words(names=["Ysolde Farrant"]).erased(told)

    assert erased == {"Erased person 7": [{"who": "Erased person 7", "at": 3}], "else": None}


def test_addresses_that_differed_go_on_to_differ():
    erased = words(emails=["y@farrant.example", "Y@Farrant.example", "ysolde@quay.example"]).erased

    assert erased("Y@FARRANT.EXAMPLE, ysolde@quay.example") == (
        "person-7-1@erased.invalid, person-7-2@erased.invalid"
    )


def test_no_address_that_stands_instead_can_be_written_to():
    """RFC 6761, 6.4: names under .invalid never resolve."""
    erased = words(emails=["y@farrant.example"]).erased("y@farrant.example")

    assert erased.endswith("@erased.invalid")


def test_what_others_are_called_as_well_is_replaced_only_in_their_rows():
    """One word, and an address that is also somebody else’s."""
    some = words(
        names=["Moll"], emails=["office@farrant.example"], shared=["Office@farrant.example"]
    )

    assert some.erased("Moll, office@farrant.example") == "Moll, office@farrant.example"
    assert some.erased("Moll, office@farrant.example", theirs=True) == (
        "Erased person 7, person-7-1@erased.invalid"
    )


def test_short_number_is_no_telephone_number():
    some = words(phones=["12", "01632 960123", "+44 1632 960 124"])

    assert (
        some.erased("Room 12, 01632 960123 or +44 1632 960 124") == "Room 12, (erased) or (erased)"
    )


def test_text_that_stands_instead_is_taken_as_it_is():
    assert (
        words(names=["Ysolde Farrant"], instead=r"\1 \g<0>").erased("Ysolde Farrant") == r"\1 \g<0>"
    )
