import pytest
from django.urls import reverse
from lxml import html

from studio.templatetags.look import MARKS, STATES


@pytest.fixture
def page(client_of, assistant):
    response = client_of(assistant).get(reverse("style"), {"sort": "-gain"})
    assert response.status_code == 200
    return html.fromstring(response.content)


def test_style_shows_every_state_word_and_every_mark(page):
    shown = {badge.text_content() for badge in page.find_class("badge-word")}

    assert set(STATES) | set(MARKS) <= shown


def test_style_has_no_inline_style_or_script(page):
    assert page.xpath("//*[@style]") == []
    assert page.xpath("//style") == []
    assert [script for script in page.iter("script") if not script.get("src")] == []
    assert page.xpath("//@*[starts-with(name(), 'on')]") == []


def test_style_ids_are_used_once(page):
    ids = page.xpath("//@id")

    assert len(ids) == len(set(ids))


def test_style_headings_step_down_one_at_a_time(page):
    levels = [int(heading.tag[1]) for heading in page.xpath("//h1 | //h2 | //h3 | //h4")]

    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in zip(levels, levels[1:], strict=False))


def test_table_says_which_column_sorts_it(page):
    heads = page.xpath("//table[caption='Units in room 1']//th")

    assert [head.get("aria-sort") for head in heads] == [None, None, "descending", None]


def test_table_without_rows_says_what_to_do(page):
    assert page.find_class("empty-cell")[0].text.strip() == "No unit matches. Show all, or add one."


def test_pages_of_a_list_keep_the_order(page):
    following = page.xpath("//nav[@class='pagination']/a[@rel='next']/@href")

    assert following == ["?sort=-gain&page=5"]


def test_navigation_shows_only_what_may_be_opened(client_of, mix_engineer):
    response = client_of(mix_engineer).get(reverse("style"))
    names = html.fromstring(response.content).xpath("//nav[@class='site-nav']//a/text()")

    assert "Songs" in names
    assert "Clients" not in names
