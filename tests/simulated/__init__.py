"""Chains simulated, so that what they do is known: the truth that measuring by sound is held against.

Nothing here reads the product's code but the plan and the signal, from which the test file is played.
"""

from tests.simulated.bending import Clipping, Polynomial
from tests.simulated.chain import CABLE, Chain, simulated_return, simulated_section
from tests.simulated.compressor import Compressor
from tests.simulated.drawn import drawn_chain, drawn_plan
from tests.simulated.linear import Gain, HighPass, HighShelf, LowPass, LowShelf, Peak
from tests.simulated.truth import Truth, truth_of
