"""The filters of ITU-R BS.1770-5, Annex 1, at any sample rate."""

import math

import numpy as np

# The analogue filters whose bilinear transforms at 48 kHz are Tables 1 and 2 of the Recommendation,
# as (centre in Hz, Q, gains of the high-pass, band-pass and low-pass parts).
SHELF_GAIN = 10 ** (3.999843853973347 / 20)
SHELF = (1681.974450955533, 0.7071752369554196, SHELF_GAIN, SHELF_GAIN**0.4996667741545416, 1.0)
HIGH_PASS = (38.13547087602444, 0.5003270373238773, 1.0, 0.0, 0.0)

BLOCK = 64


class KWeighting:
    """Filters a stream of channels.

    A recursive filter goes sample by sample, which NumPy can't. So the filters are written as a
    state space, `state' = A state + B sample` and `output = C state + D sample`, and carried out by
    blocks of 64 samples: one product of matrices gives what a block does to itself, another what
    the state does to it. The states where the blocks begin come from a scan that doubles its reach
    in each step.
    """

    def __init__(self, rate: int, channels: int):
        a, b, c, d = _in_series(_section(rate, *SHELF), _section(rate, *HIGH_PASS, table=True))
        powers = [np.eye(len(a))]
        for _ in range(BLOCK):
            powers.append(a @ powers[-1])
        response = [d, *(c @ power @ b for power in powers[: BLOCK - 1])]
        self._through = np.zeros((BLOCK, BLOCK), np.float32)
        for sample in range(BLOCK):
            self._through[sample, sample:] = response[: BLOCK - sample]
        self._into = np.array([power @ b for power in powers[BLOCK - 1 :: -1]], np.float32)
        self._out = np.array([c @ power for power in powers[:BLOCK]], np.float32).T
        self._over = powers[BLOCK].T
        self._state = np.zeros((channels, 1, len(a)))

    def weighted(self, samples: np.ndarray) -> np.ndarray:
        """`samples`, shaped (channels, frames), in single precision and whole blocks."""
        blocks = samples.reshape(len(samples), -1, BLOCK)
        states = np.concatenate([self._state, blocks @ self._into], axis=1)
        over, reach = self._over, 1
        while reach < states.shape[1]:
            states[:, reach:] += states[:, :-reach] @ over
            over, reach = over @ over, 2 * reach
        self._state = states[:, -1:]
        done = blocks @ self._through
        done += states[:, :-1].astype(np.float32) @ self._out
        return done.reshape(samples.shape)


def _section(rate, hz, q, high, band, low, *, table=False):
    """(A, B, C, D) of one filter, whose two states are those of a trapezoidal state variable
    filter: they keep their precision where the centre is far below the rate.

    The Recommendation's high-pass has the numerator 1, -2, 1 at every rate (`table`).
    """
    g, k = math.tan(math.pi * hz / rate), 1 / q
    scale = 1 + g * k + g * g
    if table:
        high = high * scale
    # The band-pass and low-pass parts, by the states and the sample.
    band_part = np.array([1, -g, g]) / scale
    low_part = np.array([g, 1 + g * k, g * g]) / scale
    output = high * np.array([0, 0, 1])
    output = output + (band - high) * k * band_part + (low - high) * low_part
    following = np.array([2 * band_part - [1, 0, 0], 2 * low_part - [0, 1, 0]])
    return following[:, :2], following[:, 2], output[:2], output[2]


def _in_series(first, second):
    a1, b1, c1, d1 = first
    a2, b2, c2, d2 = second
    a = np.block([[a1, np.zeros((2, 2))], [np.outer(b2, c1), a2]])
    return a, np.concatenate([b1, b2 * d1]), np.concatenate([d2 * c1, c2]), d2 * d1
