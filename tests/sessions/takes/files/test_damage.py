from sessions.limited import ChildFailed
from sessions.takes.files import child
from sessions.takes.files.child import FoundFile, facts_of_each
from tests.sessions.takes.files.damage import read_damaged
from tests.sessions.takes.files.written import ixml, wav


def test_damaged_files_are_read_or_said_to_be_damaged():
    damaged = read_damaged(200, seed=13)

    assert damaged.holds, damaged
    # The damage is real, and not so coarse that every file falls at the first check.
    assert min(damaged.whole, damaged.said) > 20


def test_file_that_stops_the_reader_costs_the_others_nothing(monkeypatch):
    """Nothing that we know stops it, so the child that meets the third file is made to fail."""
    run = child.run_limited

    def run_but_for_the_third(*arguments, content, **limits):
        if any(b"the third" in piece for piece in content):
            raise ChildFailed
        return run(*arguments, content=content, **limits)

    monkeypatch.setattr(child, "run_limited", run_but_for_the_third)
    takes = ["1", "2", "the third", "4"]
    content = [wav(ixml(TAKE=take)) for take in takes]
    files = [
        FoundFile(f"{each}.wav", 900, header, 1440)
        for each, header in zip(takes, content, strict=True)
    ]

    facts = facts_of_each(files)

    assert [(each.ixml or {}).get("take") for each in facts] == ["1", "2", None, "4"]
    assert facts[2].problems == ("The file’s header stops its reader: it is damaged.",)
