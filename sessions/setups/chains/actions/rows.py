from django.db.models import Max


def next_position(things) -> int:
    return (things.aggregate(last=Max("position"))["last"] or 0) + 1


def set_facts(thing, facts: dict) -> None:
    for name, value in facts.items():
        setattr(thing, name, value)
