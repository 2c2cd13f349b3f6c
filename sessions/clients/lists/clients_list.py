"""A list of clients: a line whose name a client has already changes that client."""

from gear.lists.plan import Plan, Row, check, read_facts, read_list
from sessions.clients.lists.columns import CLIENT_CELLS, CLIENT_COLUMNS, CLIENTS_KNOWN_AS
from sessions.clients.lists.twins import Twins
from sessions.clients.models import Client


def plan_clients(text: str, *, lock: bool = False) -> Plan:
    """One query at most, however long the list. lock: hold the rows until the transaction ends."""
    plan = Plan()
    lines = read_list(
        text, plan, headings=CLIENT_CELLS, needed=("name",), known_as=CLIENTS_KNOWN_AS
    )
    clients = Client.objects.select_for_update(no_key=True) if lock else Client.objects.all()
    known = {client.name: client for client in clients} if lines else {}
    lines_by_name: dict[str, int] = {}
    twins = Twins(known.values())
    for line in lines:
        name = line.cells.get("name", "")
        if name in lines_by_name:
            said = f"Line {lines_by_name[name]} has this client already."
            plan.refuse(line.number, "name", name, said)
            continue
        lines_by_name[name] = line.number
        is_new = name not in known
        client = known.get(name) or Client()
        changes = read_facts(client, line, CLIENT_COLUMNS, plan)
        check(client.clean, line, CLIENT_COLUMNS, plan)
        notice = twins.notice(client) if is_new else ""
        twins.add(client)
        plan.rows.append(Row(line.number, client, is_new, tuple(changes), notice=notice))
    return plan
