import json
import os

from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from studio.bench import booking, recall, setups
from studio.bench.race import race

LEAST = 200  # sessions that fill two weeks
SIZES = [1_000, 10_000, 100_000]


class Command(BaseCommand):
    help = (
        "Measure and race the studio on databases made for it and dropped again: SQLite files in a "
        "temporary folder, or databases on the PostgreSQL server that DATABASE_URL names."
    )
    requires_system_checks = []

    def add_arguments(self, parser):
        benches = parser.add_subparsers(dest="bench", required=True)
        of_booking = _bench(
            benches, "booking", "the clash check and the schedule, at several numbers of sessions"
        )
        of_booking.add_argument("--sizes", type=int, nargs="+", default=SIZES, help="at least 200")
        _add_rounds(of_booking, 40)

        of_setups = _bench(
            benches, "setups", "a page of ten chains and 400 controls, shown and saved"
        )
        _add_rounds(of_setups, 15)

        of_race = _bench(
            benches, "race", "many who book the same things at once, and are killed in the middle"
        )
        of_race.add_argument("--processes", type=int, default=16)
        of_race.add_argument("--seconds", type=float, default=30)
        of_race.add_argument("--http", action="store_true", help="through gunicorn and the form")

        of_recall = _bench(benches, "recall", "recall sheets made, and served from what was kept")
        of_recall.add_argument("--chains", type=int, nargs="+", default=[1, 4, 12])
        _add_rounds(of_recall, 3)

    def handle(self, *, bench, **options):
        getattr(self, f"_{bench}")(**options)

    def _say_json(self, **answer):
        where = {"engine": connection.vendor, "load": os.getloadavg()}
        self.stdout.write(json.dumps(where | answer, indent=2))

    def _say_where(self):
        self.stdout.write(f"{connection.display_name}, load {os.getloadavg()[0]:.1f}")

    def _booking(self, *, sizes, rounds, as_json, **options):
        if min(sizes) < LEAST or rounds < 1:
            raise CommandError("--sizes are 200 or more, --rounds 1 or more.")
        measured = booking.measure(sorted(set(sizes)), rounds, self.stderr.write)
        ratios = booking.ratios(measured)
        if as_json:
            self._print_json(measured, ratios)
        else:
            self._print_table(measured, ratios)

    def _print_json(self, measured, ratios):
        self._say_json(
            ratios=[each.row() for each in ratios],
            queries={each.sessions: each.queries for each in measured},
            same_queries_at_every_size=booking.same_queries(measured),
            sql=measured[0].sql,
        )

    def _print_table(self, measured, ratios):
        self._say_where()
        self.stdout.write(
            f"{'':44} {'sessions':>9} {'ms':>9} {'against':>9} {'ratio':>7} {'goal':>5}"
        )
        for each in ratios:
            self.stdout.write(
                f"{each.what:44} {each.sessions:>9,} {each.seconds * 1e3:>9.3f} "
                f"{each.against * 1e3:>9.3f} {each.value:>7.2f} {each.goal:>5} "
                f"{_passed(each.met)}"
            )
        same = "the same at every size" if booking.same_queries(measured) else "FAIL: not the same"
        counts = [each.queries for each in measured]
        self.stdout.write(
            f"queries of the week's page: {[c['schedule week'] for c in counts]}, {same}"
        )
        self.stdout.write(
            "Medians of works that took turns. The bare SQL is what the check sends, with its values "
            "ready, over the same connection; it fetches the same columns of the same rows:"
        )
        for name, statements in measured[0].sql.items():
            for statement in statements:
                self.stdout.write(f"  {name}: {' '.join(statement.split())}")

    def _setups(self, *, rounds, as_json, **options):
        if rounds < 1:
            raise CommandError("--rounds is 1 or more.")
        measured = setups.measure(rounds)
        ratios = setups.setup_ratios(measured["times"])
        same = setups.same_queries(measured["queries"])
        if as_json:
            rows = [each.row() for each in ratios]
            self._say_json(ratios=rows, queries=measured["queries"], same_queries=same)
            return
        self._say_where()
        self.stdout.write(
            f"{'10 chains, 400 controls':28} {'ms':>9} {'against':>9} {'ratio':>7} goal"
        )
        for each in ratios:
            self.stdout.write(
                f"{each.what:28} {each.seconds * 1e3:>9.2f} {each.against * 1e3:>9.2f} "
                f"{each.value:>7.1f} {each.goal:>4} {_passed(each.met)}"
            )
        self.stdout.write(f"queries: {measured['queries']}, {_passed(same)}")

    def _recall(self, *, chains, rounds, as_json, **options):
        if min(chains) < 1 or rounds < 1:
            raise CommandError("--chains and --rounds are 1 or more.")
        measured = recall.measure(sorted(set(chains)), rounds)
        found = list(recall.ratios(measured))
        bounded = recall.memory_is_bounded(measured)
        if as_json:
            rows = [each.row() for each in found]
            self._say_json(ratios=rows, measured=measured, memory_is_bounded=bounded)
            return
        self._say_where()
        for each in found:
            self.stdout.write(
                f"{each.what:26} {each.chains:>3} chains {each.controls:>4} controls "
                f"{each.seconds * 1e3:>9.1f} ms {each.against * 1e3:>9.1f} ms {each.value:>6.2f} "
                f"of {each.goal} {_passed(each.met)}"
            )
        memory = ", ".join(f"{size['megabytes']:.0f} MB" for size in measured)
        self.stdout.write(
            f"memory at its highest: {memory}; at most {recall.MOST_MEGABYTES} MB: "
            f"{_passed(bounded)}"
        )

    def _race(self, *, processes, seconds, http, as_json, **options):
        wish = {"processes": processes, "seconds": seconds, "http": http}
        verdict = race(wish)
        if as_json:
            self.stdout.write(json.dumps(verdict, indent=2))
        else:
            for name, value in verdict.items():
                self.stdout.write(f"{name:16} {value}")
        if not verdict["holds"]:
            raise CommandError("The race broke a rule, or nobody raced: see above.")


def _bench(benches, name: str, what: str):
    parser = benches.add_parser(name, help=what)
    parser.add_argument("--json", dest="as_json", action="store_true", help="print JSON")
    return parser


def _add_rounds(parser, usual: int) -> None:
    parser.add_argument("--rounds", type=int, default=usual, help="more is steadier")


def _passed(met: bool) -> str:
    return "pass" if met else "FAIL"
