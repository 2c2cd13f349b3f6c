from sessions.setups.models import Chain, Setup


def lock(chain_id: int) -> None:
    """Let edits and takes of one chain queue. (SQLite lets all writers queue by itself.)"""
    Chain.objects.select_for_update(of=("self",)).get(pk=chain_id)


def lock_setup(setup: Setup) -> None:
    """Of all chains of the setup, in one order."""
    list(setup.chains.select_for_update(of=("self",)).order_by("pk").values_list("pk"))
