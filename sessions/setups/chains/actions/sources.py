"""A chain's source is given by its name: that of the setup which has it, or one that is made."""

from sessions.setups.models import Setup, Source


def source_named(setup: Setup, name: str, *, like: Source | None = None) -> Source:
    """The setup's source of that name, in whatever case; else a new one. Where `like`, a source of
    another setup, has the name, the new one starts as a copy of it."""
    found = setup.sources.filter(name__iexact=name).order_by("pk").first()
    if found:
        return found
    if like and like.name.casefold() == name.casefold():
        return copy_source(like, to=setup)
    return Source.objects.get_or_create(setup=setup, name=name)[0]


def copy_source(source: Source, *, to: Setup) -> Source:
    facts = {name: getattr(source, name) for name in Source.COPIED}
    copy = Source(setup=to, **facts)
    copy.begin_as_copy()
    copy.save()
    return copy


def remove_unused(source: Source) -> None:
    """A source that feeds no chain any more and of which nothing but a name was said."""
    if source.is_bare and not source.chains.exists():
        source.delete()
