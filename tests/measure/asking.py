"""What a piece of work asks the database, and the same asked again with nothing around it."""

from collections.abc import Callable
from contextlib import nullcontext

from django.db import connection, transaction
from django.test import RequestFactory
from django.urls import resolve

Statements = list[tuple[str, object]]
NOT_DATA = ("BEGIN", "SAVEPOINT", "RELEASE")


def queries(work: Callable[[], object]) -> Statements:
    """The statements that the work sends, each with its values."""
    sent = []

    def note(execute, statement, values, many, context):
        sent.append((statement, values))
        return execute(statement, values, many, context)

    with connection.execute_wrapper(note):
        work()
    return sent


def bare(asked: Statements, *, in_transaction: bool = False) -> Callable[[], None]:
    """The same statements again over the same connection, and all rows that they give."""

    def ask() -> None:
        with transaction.atomic() if in_transaction else nullcontext():
            for statement, values in asked:
                if not statement.startswith(NOT_DATA):
                    with connection.cursor() as cursor:
                        cursor.execute(statement, values)
                        if cursor.description:
                            cursor.fetchall()

    return ask


def page(user, address: str, shows: str, **query: str) -> Callable[[], None]:
    """The view alone, without what a server and the middleware do; it must show those words."""
    found = resolve(address)

    def build() -> None:
        request = RequestFactory().get(address, query)
        request.user, request.session = user, {}
        answer = found.func(request, **found.kwargs)
        said = answer.render() if hasattr(answer, "render") else answer
        if shows not in said.content.decode():
            raise RuntimeError(f"{address} does not show {shows}.")

    return build
