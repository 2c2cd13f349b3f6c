from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from sessions.takes.comp.joins import best_of_each, count_joins, fewest_joins

rows = st.lists(
    st.dictionaries(st.integers(1, 4), st.integers(1, 5), max_size=4), min_size=1, max_size=6
)


def _price(sheet, takes):
    grades = [row[take] for row, take in zip(sheet, takes, strict=True) if take is not None]
    return count_joins(takes), -sum(grades)


@settings(max_examples=1000)
@given(rows)
def test_fewest_joins_are_those_of_trying_every_choice(sheet):
    every = product(*(row or [None] for row in sheet))

    chosen = fewest_joins(sheet)

    assert all(
        take in row if row else take is None for row, take in zip(sheet, chosen, strict=True)
    )
    assert _price(sheet, chosen) == min(_price(sheet, takes) for takes in every)


@given(rows)
def test_best_of_each_line_has_no_better_one_beside_it(sheet):
    for row, take in zip(sheet, best_of_each(sheet), strict=True):
        assert row.get(take) == max(row.values(), default=None)


def test_sixty_lines_of_forty_takes():
    sheet = [{take: 3 + (take == line // 20) for take in range(40)} for line in range(60)]

    assert fewest_joins(sheet) == [0] * 60
    assert best_of_each(sheet) == [0] * 20 + [1] * 20 + [2] * 20


def test_no_join_stands_at_a_gap():
    assert count_joins([1, 1, 2, None, 1]) == 1
