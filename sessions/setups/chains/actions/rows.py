from django.db.models import Max


def next_position(things) -> int:
    return (things.aggregate(last=Max("position"))["last"] or 0) + 1
