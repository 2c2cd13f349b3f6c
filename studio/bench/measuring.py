"""A process that fills a database of its own and measures once more whenever it is told.

    DATABASE_URL=… DJANGO_SETTINGS_MODULE=studio.bench.settings python -m studio.bench.measuring 1000

It prints a line of JSON when the database is full, and one for every line that it reads.
"""

import json
import sys

import django
from django.core.management import call_command

CHECKS, PAGES = 6, 1  # how often each is done when told: a turn is short, so that sizes compare


def main(count: int) -> None:
    django.setup()
    from studio.bench.filling import fill, furnished, vacuumed
    from studio.bench.timing import interleaved
    from studio.bench.works import clash_checks, pages, queries

    call_command("migrate", run_syncdb=True, verbosity=0)
    house = furnished()
    fill(house, count)
    vacuumed()
    checks, sql = clash_checks(house)
    built = pages(house)
    _say({"sql": sql, "queries": {name: len(queries(page)) for name, page in built.items()}})
    for _ in sys.stdin:
        _say(interleaved(checks, CHECKS) | interleaved(built, PAGES))


def _say(answer: dict) -> None:
    sys.stdout.write(json.dumps(answer) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]))
