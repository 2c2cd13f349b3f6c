import pytest

from sessions.takes.files.names import by_naming, joined, phrases_in, take_number, words_in


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("SlowTheLantern_LdVox_T07", ["slow", "the", "lantern", "ld", "vox", "t", "7"]),
        ("NSp 96k24 Café", ["n", "sp", "96", "k", "24", "cafe"]),
        ("Qrt SA.wav", ["qrt", "sa", "wav"]),
        ("Ærø 2", ["æ", "r", "ø", "2"]),
    ],
)
def test_words_of_a_name(name, words):
    assert words_in(name) == words


def test_title_is_found_however_its_words_are_joined():
    assert all(
        joined("Slow the Lantern") in phrases_in(name)
        for name in (
            "SlowTheLantern_07",
            "slow-the-lantern 7",
            "WF_slow_the_lantern",
            "slowthelantern",
        )
    )
    assert joined("Slow the Lantern") not in phrases_in("Slow Lantern")


@pytest.mark.parametrize(
    ("stem", "number", "is_labelled"),
    [
        ("Cornet_T07", 7, True),
        ("take 12 cornet", 12, True),
        ("tk3", 3, True),
        ("Cornet_07", 7, False),
        ("Track12_T3", 3, True),
    ],
)
def test_take_number_in_a_name(stem, number, is_labelled):
    assert take_number(stem) == (number, is_labelled)


@pytest.mark.parametrize(
    "stem", ["Cornet", "Take the Lantern", "Cornet 20260601", "Cornet 14-03-05"]
)
def test_name_without_a_take_number(stem):
    assert take_number(stem) is None


def test_fields_of_a_name_by_the_projects_naming():
    naming = "WF_{song}_{part}_{take}"

    assert by_naming("WF_SlowTheLantern_Cornet_7", naming) == {
        "song": "SlowTheLantern",
        "part": "Cornet",
        "take": "7",
    }
    assert by_naming("SlowTheLantern_Cornet_7", naming) == {}
    assert by_naming("anything", "") == {}
