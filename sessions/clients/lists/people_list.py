"""A list of people: a line changes whoever has its name and its e-mail address, or its name and none."""

from collections import defaultdict

from gear.lists.guesses import Guesses
from gear.lists.plan import Line, Plan, Row, check, in_words, read_facts, read_list
from sessions.clients.lists.columns import CLIENT, PEOPLE_KNOWN_AS, PERSON_CELLS, PERSON_COLUMNS
from sessions.clients.lists.twins import Twins
from sessions.clients.models import Client, Person


def plan_people(text: str, *, lock: bool = False) -> Plan:
    """Two queries at most, however long the list. lock: hold the rows until the transaction ends."""
    plan = Plan()
    lines = read_list(text, plan, headings=PERSON_CELLS, needed=("name",), known_as=PEOPLE_KNOWN_AS)
    if lines:
        _PeoplePlan(plan, lock).read(lines)
    plan.problems.sort(key=lambda problem: problem.line)
    return plan


class _PeoplePlan:
    """Works out one plan; knows clients and people, and what earlier lines said."""

    def __init__(self, plan: Plan, lock: bool):
        people = Person.objects.select_related("client")
        if lock:
            people = people.select_for_update(of=("self",), no_key=True)
        self.plan = plan
        self.clients = {client.name: client for client in Client.objects.all()}
        self.people: dict[str, list[Person]] = defaultdict(list)
        for person in people:
            self.people[person.name].append(person)
        self.twins = Twins(person for same in self.people.values() for person in same)
        self.lines: dict[Person | tuple[str, str], int] = {}
        self.guesses = Guesses(self.clients)

    def read(self, lines: list[Line]) -> None:
        for line in lines:
            said = line.cells.get("name", ""), line.cells.get("e-mail", "").casefold()
            found = self._found(*said)
            if len(found) > 1:
                self._refuse(line, f"{len(found)} people have this name: give the e-mail address.")
                continue
            known = found[0] if found else None
            if earlier := self.lines.get(known or said):
                self._refuse(line, f"Line {earlier} has this person already.")
                continue
            self.lines[known or said] = line.number
            self.plan.rows.append(self._row(line, known))

    def _found(self, name: str, email: str) -> list[Person]:
        """Those with that address, else those who have none of their own, or whom a line without an
        address can mean."""
        same = self.people.get(name, [])
        by_address = [person for person in same if email and person.email.casefold() == email]
        return by_address or [person for person in same if not (email and person.email)]

    def _refuse(self, line: Line, sentence: str) -> None:
        self.plan.refuse(line.number, "name", line.cells.get("name", ""), sentence)

    def _row(self, line: Line, known: Person | None) -> Row:
        person = known or Person()
        changes = read_facts(person, line, PERSON_COLUMNS, self.plan)
        changes += self._client(person, line)
        check(person.clean, line, PERSON_COLUMNS, self.plan)
        notice = "" if known else self.twins.notice(person)
        self.twins.add(person)
        return Row(line.number, person, known is None, tuple(changes), notice=notice)

    def _client(self, person: Person, line: Line) -> list[str]:
        """Give the person the client that the line names; what that changes, in words."""
        if CLIENT not in line.cells:
            return []
        name, before = line.cells[CLIENT], str(person.client or "")
        if name and name not in self.clients:
            sentence = (
                f"There is no such client: import the clients first.{self.guesses.meant(name)}"
            )
            self.plan.refuse(line.number, CLIENT, name, sentence)
            return []
        person.client = self.clients.get(name)
        return [] if name == before else [in_words(CLIENT, before, name, person)]
