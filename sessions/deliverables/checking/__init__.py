"""The project's order and the rules of the trade against what is there.

`checks_of` and `checks_of_each` are the doors; rules are generators of Checks over loaded rows.
"""

from .checks import Check, Checked, Outcome
from .due import Due, due, due_for
from .every import checks_of, checks_of_each
