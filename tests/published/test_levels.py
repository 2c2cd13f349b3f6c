"""Levels against reference values of the standards, published tables and calculators.

What only repeats our own formulas stands in `tests/gear/audio/test_levels.py` as a self-check.
"""

import pytest
from scipy import constants

from gear.audio.levels import (
    dbfs_from_dbu,
    dbu_from_dbv,
    dbu_from_volts,
    microphone_dbu,
    thermal_noise_dbu,
    volts_from_dbu,
)


@pytest.mark.parametrize(
    ("dbu", "volts"),
    [
        (-20, 0.0775),
        (-10, 0.2449),
        (0, 0.7746),
        (4, 1.2277),
        (18, 6.1528),
        (20, 7.7460),
        (22, 9.7516),
        (24, 12.2765),
    ],
)
def test_dbu_table(dbu, volts):
    """Some lines of a table of volts for each dBu from -40 to +40: scribd.com/doc/84265297."""
    assert volts_from_dbu(dbu) == pytest.approx(volts, abs=5.1e-5)
    assert dbu_from_volts(volts) == pytest.approx(dbu, abs=0.006)


def test_professional_and_consumer_levels():
    """reeltoreel.nl/level2voltage: -10 dBV is -7.78 dBu, +4 dBu is 11.78 dB more, and 6 V, 15.56 dBV,
    are 17.78 dBu."""
    assert dbu_from_dbv(-10) == pytest.approx(-7.78, abs=0.005)
    assert 4 - dbu_from_dbv(-10) == pytest.approx(11.78, abs=0.005)
    assert dbu_from_dbv(15.56) == pytest.approx(17.78, abs=0.005)
    assert dbu_from_volts(6) == pytest.approx(17.78, abs=0.005)


def test_0_dbu_is_a_milliwatt_in_600_ohms():
    """sfu.ca/~gotfrit/ZAP_Sept.3_99/z/zero_level.html: a milliwatt in 600 ohms; 1.228 V are +4."""
    assert volts_from_dbu(0) ** 2 / 600 == pytest.approx(0.001)
    assert volts_from_dbu(4) == pytest.approx(1.228, abs=5e-4)


@pytest.mark.parametrize(
    ("standard", "dbu", "full_scale_dbu", "dbfs"),
    [
        ("EBU R 68-2000: alignment 0 dBu", 0, 18, -18),
        ("EBU R 68-2000: +4 dBu", 4, 18, -14),
        ("SMPTE RP 155: +4 dBu", 4, 24, -20),
        ("SMPTE RP 155: 0 dBu", 0, 24, -24),
    ],
)
def test_converter_alignment(standard, dbu, full_scale_dbu, dbfs):
    assert dbfs_from_dbu(dbu, full_scale_dbu) == dbfs, standard


def test_published_maximum_output_of_a_microphone():
    """A data sheet quoted at diyaudio.com, thread 118389: 28 mV/Pa and 117 dB SPL give 390 mV
    (rounded by its maker)."""
    assert volts_from_dbu(microphone_dbu(28, 117)) == pytest.approx(0.390, rel=0.02)


def test_published_sound_level_of_a_voltage():
    """seltech-international.com/spl-calculator-analog-microphones: -26 dBV/Pa with 0.1 V is 100.0
    dB SPL."""
    sensitivity = 1000 * 10 ** (-26 / 20)

    assert dbu_from_volts(0.1) - microphone_dbu(sensitivity, 0) == pytest.approx(100.0, abs=0.01)


def test_published_sensitivity_in_two_units():
    """electronics.stackexchange.com/q/227208: -46 dBV/Pa are 5.01 mV/Pa."""
    assert microphone_dbu(5.01, 94) == pytest.approx(dbu_from_dbv(-46), abs=0.005)


def test_thermal_noise_of_a_microphone_s_resistance():
    """-130.9 dBu of 150 ohms (bach.pgm.com/pipermail/proaudio/2021-June/000405.html); the density by
    scipy's Boltzmann constant (CODATA), over 20 kHz at 20 °C."""
    assert thermal_noise_dbu(150) == pytest.approx(-130.9, abs=0.05)
    for ohms in (50, 150, 200, 1000):
        squared = 4 * constants.k * constants.convert_temperature(20, "C", "K") * ohms * 20_000
        assert volts_from_dbu(thermal_noise_dbu(ohms)) ** 2 == pytest.approx(squared, rel=1e-6)
