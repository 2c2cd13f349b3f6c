"""Of all fits, the smallest set that explains the difference, and those that can't be told from it."""

from gear.audio.proving.explaining.searching import LEAST_EFFECT_DB, Fit, Search

#: Within so much of each other's errors two sets count as alike. Ours, found on simulated chains
#: (tests/measure/proposals).
ALIKE = 25.0
#: More alternatives than a page can show say that the measurement doesn't tell.
MOST_STATED = 8


def chosen(search: Search, sizes: list[list[Fit]]) -> list[Fit]:
    """The best, then its alternatives, the likeliest first; nothing moved where that does as well."""
    fits = [fit for each in sizes[1:] for fit in each if _all_matter(search, fit)]
    fits.sort(key=lambda fit: fit.score)
    if not fits or fits[0].score >= sizes[0][0].score:
        return sizes[0]
    best = fits[0]
    stated = [best]
    for fit in fits[1:]:
        is_alike = fit.cost <= best.cost + ALIKE and len(fit.moved) <= len(best.moved) + 1
        if is_alike and not any(other.moved <= fit.moved for other in stated):
            stated.append(fit)
    return stated[:MOST_STATED]


def _all_matter(search: Search, fit: Fit) -> bool:
    return all(search.effect_db(fit.x, n) >= LEAST_EFFECT_DB for n in fit.moved)
