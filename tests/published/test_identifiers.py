"""ISRC and ISWC against published numbers."""

import pytest
from django.core.exceptions import ValidationError

from sessions.songs.identifiers import (
    clean_isrc,
    clean_iswc,
    display_isrc,
    display_iswc,
    iswc_check_digit,
)

# ISRC US-SKG-19-12345: worked example of python-stdnum 2.2 (stdnum/isrc.py).
# Presentation with hyphens and the word ISRC: ISO 3901:2019 as explained by the agency
# (isrc.ifpi.org/isrc-standard/structure).
# ISWC numbers: CISAC and DDEX examples (kb.ddex.net, "importing RIN files") and numbers in public
# source code; check digit rule: ISO 15707.


@pytest.mark.parametrize(
    "typed",
    [
        "US-SKG-19-12345",
        "USSKG1912345",
        "ISRC US-SKG-19-12345",
        "isrc: us skg 19 12345",
        "  ISRCUSSKG1912345\n",
        "US\u2010SKG\u201319\u201412345",
    ],
)
def test_isrc_is_stored_as_twelve_characters_however_it_is_typed(typed):
    assert clean_isrc(typed) == "USSKG1912345"


def test_isrc_display_is_the_agencys_presentation():
    assert display_isrc("AA6Q72000047") == "AA-6Q7-20-00047"


def test_isrc_example_that_must_never_be_used_is_refused():
    with pytest.raises(ValidationError, match="“AA” does not begin any ISRC"):
        clean_isrc("ISRC AA-6Q7-20-00047")


def test_isrc_with_unknown_prefix_is_refused():
    with pytest.raises(ValidationError, match="“XX” does not begin any ISRC"):
        clean_isrc("XX-SKG-19-12345")


@pytest.mark.parametrize("prefix", ["QM", "QN", "QT", "QZ", "BC", "BK", "BP", "BX", "FX", "GX"])
def test_isrc_prefixes_that_are_no_countries_are_accepted(prefix):
    # isrc.ifpi.org, "Valid characters"; listed in stdnum/isrc.py.
    assert clean_isrc(f"{prefix}-SKG-19-12345") == f"{prefix}SKG1912345"


@pytest.mark.parametrize(
    "typed",
    ["", "ISRC", "US-SKG-19-1234", "US-SKG-19-123456", "U1-SKG-19-12345", "US-SK?-19-12345",
     "US-SKG-1A-12345", "US-SKG-19-1234\u0665"],
)  # fmt: skip
def test_isrc_of_wrong_shape_is_refused_with_an_example(typed):
    with pytest.raises(ValidationError, match="An ISRC has 12 characters.*BV-QSS-26-00001"):
        clean_isrc(typed)


PUBLISHED_ISWCS = ["T-034.524.680-1", "T-000.000.001-0", "T-101.914.232-4", "T-913.186.956-2"]


@pytest.mark.parametrize("printed", PUBLISHED_ISWCS)
def test_published_iswcs_are_accepted_and_print_as_published(printed):
    stored = clean_iswc(printed)

    assert stored == printed.replace("-", "").replace(".", "")
    assert display_iswc(stored) == printed


def test_iswc_check_digit_worked_example():
    # 034524680: 0+6+12+20+10+24+42+64+0 = 178; +1 = 179; 10 - 9 = 1.
    assert iswc_check_digit("034524680") == 1


@pytest.mark.parametrize("typed", ["T-000.000.001-9", "T-034.524.680-2", "T-043.524.680-1"])
def test_iswc_with_wrong_check_digit_is_refused(typed):
    with pytest.raises(ValidationError, match="last digit of T-"):
        clean_iswc(typed)


@pytest.mark.parametrize("place", [1, 3, 7, 9, 10])
def test_iswc_with_one_wrong_digit_is_refused(place):
    # The other places weigh 2, 4, 5, 6 and 8, which share a factor with 10 and miss some errors.
    stored = "T0345246801"
    for digit in set("0123456789") - {stored[place]}:
        with pytest.raises(ValidationError, match="last digit"):
            clean_iswc(stored[:place] + digit + stored[place + 1 :])


@pytest.mark.parametrize("typed", ["iswc T0345246801", "t 034 524 680 1", "ISWC: T-0345246801"])
def test_iswc_is_stored_alike_however_it_is_typed(typed):
    assert clean_iswc(typed) == "T0345246801"


@pytest.mark.parametrize("typed", ["", "T", "034.524.680-1", "T-034.524.680", "T-034.524.680-X"])
def test_iswc_of_wrong_shape_is_refused_with_an_example(typed):
    with pytest.raises(ValidationError, match="letter T and 10 digits.*T-999.000.101-9"):
        clean_iswc(typed)
