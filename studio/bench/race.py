"""The race on a database of its own."""

import json

from studio.bench.scratch import answer_of, scratch_database, tables_made


def race(wish: dict) -> dict:
    """The verdict of `studio.bench.racing` on the wish. Raises CommandError where it broke off."""
    with scratch_database() as environment:
        tables_made(environment)
        return answer_of("racing", json.dumps(wish), environment=environment)
