"""Stems summed at unity against a mix: what is left, by level, time and band.

`compare` is the arithmetic, run by `python -m sessions.deliverables.nulling` in a limited child: no
Django in `reading`, `aligning`, `comparing` and `__main__`. The task, pages and words are beside it.
"""
