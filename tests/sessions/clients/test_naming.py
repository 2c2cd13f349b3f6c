"""How delivered files are named, as a pattern of fields."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sessions.clients.naming import FIELDS, RECOMMENDED, Naming, NotAPattern, camel_case


@pytest.mark.parametrize(
    ("name", "version"),
    [
        ("AI_SongTitle_MI01_Master_96k24", "Master"),
        ("AI_SongTitle_MI01_Snare_Rim_96k24", "Snare_Rim"),
    ],
)
def test_names_of_the_published_recommendation_are_read(name, version):
    """The example of the P&E Wing’s recommendations (2018, p. 13) and its stem."""
    assert Naming.read(RECOMMENDED).fields_of(name) == {
        "artist": "AI",
        "song": "SongTitle",
        "mixer": "MI",
        "revision": "01",
        "version": version,
        "rate": "96",
        "depth": "24",
    }


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("bad", "one to four capitals of the artist ({artist})"),
        ("AI-Song", "“_”"),
        ("AI_Song_mi01_Master_96k24", "the mixer’s initials, two capitals ({mixer})"),
        ("AI_Song_MI1_Master_96k24", "the mix revision, two digits ({revision})"),
        ("AI_Song_MI01_Master_50k24", "the sample rate in whole kilohertz ({rate})"),
        ("AI_Song_MI01_Master_96k24 copy", "the end of the name"),
    ],
)
def test_a_name_made_otherwise_is_told_where_it_departs(name, wanted):
    naming = Naming.read(RECOMMENDED)

    assert naming.fields_of(name) is None
    assert naming.first_wrong(name) == wanted


@pytest.mark.parametrize(
    ("pattern", "said"),
    [
        ("Song_Version", "Name the fields in braces"),
        ("{song}_{mood}", "{mood} is not a field"),
        ("{song}_{song}", "stands there twice"),
        ("{song}_{", "left over"),
        ("{song}{version}", "run into each other"),
        ("{revision}{depth}", "run into each other"),
        ("{song}:{take}", "can’t have a “:”"),
    ],
)
def test_what_is_no_pattern_is_refused_with_a_reason(pattern, said):
    with pytest.raises(NotAPattern, match=said.replace("{", r"\{")):
        Naming.read(pattern)


def test_titles_are_joined_without_signs_or_accents():
    assert camel_case("Neap and Spring") == "NeapAndSpring"
    assert camel_case("L’été d’amour (reprise)") == "LeteDamourReprise"


@settings(max_examples=20)
@given(st.lists(st.sampled_from(sorted(FIELDS)), min_size=1, unique=True))
def test_the_example_of_any_pattern_is_named_by_it(fields):
    naming = Naming.read("_".join(f"{{{field}}}" for field in fields))

    assert naming.fields_of(naming.example()) is not None
