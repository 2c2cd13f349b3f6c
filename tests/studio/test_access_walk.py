"""A share of what `python -m tests.measure long access` asks for longer."""

import pytest

from studio.access import PAGES
from tests.access_walk import all_cases, walk


def test_every_address_is_asked_for_by_everybody():
    cases = list(all_cases())

    assert {case.page for case in cases} == set(PAGES)
    assert len(cases) > 50 * len(PAGES)


@pytest.mark.django_db
def test_nobody_opens_what_is_not_theirs_and_reading_changes_nothing():
    walked = walk(150, seed=9)

    assert sum(walked.statuses.values()) == 150
    assert walked.holes == []


@pytest.mark.django_db
def test_page_without_a_rule_is_a_hole(monkeypatch):
    monkeypatch.delitem(PAGES, "songs:list")
    monkeypatch.setattr(
        "tests.access_walk.all_cases",
        lambda: [case for case in all_cases() if case.page == "songs:list"][:4],
    )

    assert any("no rule in studio/access.py" in hole for hole in walk(4, seed=1).holes)
