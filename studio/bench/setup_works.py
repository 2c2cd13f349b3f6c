"""A process that reads, draws and saves a page of ten chains, beside the bare SQL of it.

    DATABASE_URL=… DJANGO_SETTINGS_MODULE=studio.bench.settings python -m studio.bench.setup_works 15

It prints one line of JSON: seconds of each work, and the numbers of queries.
"""

import json
import sys
from itertools import cycle

import django
from django.core.management import call_command
from django.http import QueryDict

SMALL, LARGE = 2, 10  # chains of 40 controls each


def main(rounds: int) -> None:
    django.setup()
    from studio.bench.filling import fill, furnished, vacuumed
    from studio.bench.setup_filling import filled_setup
    from studio.bench.timing import interleaved
    from studio.bench.works import bare, page, queries

    call_command("migrate", run_syncdb=True, verbosity=0)
    house = furnished()
    fill(house, 1)
    session = house.projects[0].recording_sessions.get()
    small, large = (filled_setup(house, session, chains) for chains in (SMALL, LARGE))
    vacuumed()
    addresses = [f"/set/setups/{setup.pk}/" for setup in (small, large)]
    small_page, large_page = (page(house, address, b"Voice 0") for address in addresses)
    load, save = loading(large), saving(house, large)
    read, written = queries(load), queries(save)
    works = {
        "read": load,
        "read, bare SQL": bare(read),
        "page": large_page,
        "save": save,
        "save, bare SQL": bare(written, in_transaction=True),
    }
    times = interleaved(works, rounds)
    counts = {
        "page of 2 chains": len(queries(small_page)),
        "page of 10 chains": len(queries(large_page)),
        "save of 2 chains": len(queries(saving(house, small))),
        "save of 10 chains": len(written),
    }
    sys.stdout.write(json.dumps({"times": times, "queries": counts}) + "\n")


def loading(setup):
    """All rows of the page as objects: revisions, stages, units, panels, controls, points."""
    from gear.patchbay.models import PatchPoint
    from sessions.setups.chains.fields import PointNames
    from sessions.setups.models import Revision

    def load():
        names = PointNames(PatchPoint.objects.for_list())
        newest = Revision.objects.newest().filter(chain__setup=setup).with_stages()
        return names, list(newest.order_by("chain__position", "chain"))

    return load


def saving(house, setup):
    """All fields of the page sent as a form sends them, every control changed, in one transaction."""
    from sessions.setups.editor.actions import set_stages
    from sessions.setups.editor.page import ChainLine

    load = loading(setup)
    names, revisions = load()
    first = [ChainLine(revision, names) for revision in revisions]
    sent = cycle([typed(first, "40 dB"), typed(first, "20 dB")])

    def save():
        names, revisions = load()
        data = next(sent)
        for revision in revisions:
            line = ChainLine(revision, names)
            data[line.seen_name] = str(line.seen)
        lines = [ChainLine(revision, names, data) for revision in revisions]
        if not all(line.is_valid() for line in lines):
            raise RuntimeError("What was typed is not understood.")
        set_stages([line.typed() for line in lines], by=house.manager)

    return save


def typed(lines, value: str) -> QueryDict:
    data = QueryDict(mutable=True)
    for line in lines:
        for form in line.forms:
            data[form.add_prefix("path")] = "printed"
            for name in form.controls:
                data[form.add_prefix(name)] = value
    return data


if __name__ == "__main__":
    main(int(sys.argv[1]))
