"""Numbers are compared as ITU-T E.164 builds them: a country's code of one to three digits, then the
national number, which is dialled at home behind a nought (0 is the trunk prefix of the United
Kingdom, E.164 national supplement). 01632 960 000 to 960 999 are nobody's: Ofcom keeps them for
drama."""

import pytest

from sessions.desk.search.phones import digits_of


@pytest.mark.parametrize(
    ("typed", "known"),
    [
        ("01632 960 255", "01632 960255"),
        ("01632960255", "+44 1632 960255"),
        ("+44 1632 960255", "01632 960 255"),
        ("0044 1632 960255", "(01632) 960-255"),
        ("+44 (0)1632 960255", "+44 (0)1632 960255"),
        ("960 255", "01632 960255"),
        ("255", "01632.960.255"),
    ],
)
def test_one_number_is_found_however_it_is_written(typed, known):
    assert digits_of(typed).are_in(known)


@pytest.mark.parametrize(
    ("typed", "known"),
    [("01632 960 255", "01632 960 256"), ("+44 20 7946 0255", "01632 960255"), ("255", "")],
)
def test_another_number_is_another(typed, known):
    assert not digits_of(typed).are_in(known)


@pytest.mark.parametrize("typed", ["", "25", "MC-01", "Seven Bells", "+", "96a"])
def test_what_is_no_number_looks_for_none(typed):
    assert digits_of(typed) is None
