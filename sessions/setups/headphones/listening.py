"""Who hears what, as pages and sheets print it."""

from collections import defaultdict
from collections.abc import Iterable

from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Setup


def mixes_of(setups: Iterable[Setup | int]) -> dict[int, list[HeadphoneMix]]:
    """The headphone mixes of each of the setups, by its key; a constant number of queries."""
    found = defaultdict(list)
    for mix in HeadphoneMix.objects.filter(setup__in=list(setups)).for_list():
        found[mix.setup_id].append(mix)
    return found
