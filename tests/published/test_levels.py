"""Levels against reference values of the standards, and microphone data-sheet arithmetic."""

import pytest

from gear.audio.levels import (
    dbfs_from_dbu,
    dbu_from_dbv,
    dbu_from_volts,
    microphone_dbu,
    volts_from_dbu,
)


@pytest.mark.parametrize(
    ("dbu", "volts", "dbv"),
    [
        (-7.7815, 0.316228, -10),
        (0, 0.774597, -2.2185),
        (4, 1.227653, 1.7815),
        (18, 6.152840, 15.7815),
        (20, 7.745967, 17.7815),
        (22, 9.751594, 19.7815),
        (24, 12.276530, 21.7815),
    ],
)
def test_dbu_table(dbu, volts, dbv):
    """0 dBu = sqrt(0.6) V, 0 dBV = 1 V; values computed from that definition."""
    assert volts_from_dbu(dbu) == pytest.approx(volts, rel=1e-5)
    assert dbu_from_volts(volts) == pytest.approx(dbu, abs=1e-4)
    assert dbu_from_dbv(dbv) == pytest.approx(dbu, abs=1e-4)


def test_0_dbu_is_775_millivolts():
    """A maker's published figure for the reference voltage: 0.775 V."""
    assert volts_from_dbu(0) == pytest.approx(0.775, abs=0.0005)


def test_professional_and_consumer_levels_are_11_78_db_apart():
    """+4 dBu against -10 dBV, from the definitions."""
    assert 4 - dbu_from_dbv(-10) == pytest.approx(11.78, abs=0.005)


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


@pytest.mark.parametrize(
    ("sensitivity", "dbv_per_pa", "dbu_at_94"),
    [
        (1.5, -56.478, -54.260),
        (1.85, -54.657, -52.438),
        (2, -53.979, -51.761),
        (5, -46.021, -43.802),
        (8, -41.938, -39.720),
        (10, -40.000, -37.782),
        (12, -38.416, -36.198),
        (20, -33.979, -31.761),
        (28, -31.057, -28.838),
        (50, -26.021, -23.802),
    ],
)
def test_microphone_sensitivity_table(sensitivity, dbv_per_pa, dbu_at_94):
    """S = 20 log10(mV/Pa / 1000) re 1 V/Pa; 94 dB SPL counts as 1 Pa."""
    dbu = microphone_dbu(sensitivity, 94)

    assert dbu == pytest.approx(dbu_at_94, abs=6e-4)
    assert dbu_from_dbv(dbv_per_pa) == pytest.approx(dbu_at_94, abs=6e-4)


@pytest.mark.parametrize(
    ("sensitivity", "spl", "dbu", "volts"),
    [
        (20, 114, -11.76, 0.200),
        (1.85, 94, -52.44, 0.00185),
        (12, 74, -56.20, 0.0012),
        (8, 130, -3.72, 0.505),
    ],
)
def test_microphone_worked_outputs(sensitivity, spl, dbu, volts):
    """Worked from the 94 dB convention."""
    output = microphone_dbu(sensitivity, spl)

    assert output == pytest.approx(dbu, abs=0.006)
    assert volts_from_dbu(output) == pytest.approx(volts, rel=1e-3)


@pytest.mark.parametrize(("sensitivity", "spl", "gain"), [(20, 114, 15.76), (1.85, 94, 56.44)])
def test_gain_that_a_preamplifier_needs_to_reach_plus_4_dbu(sensitivity, spl, gain):
    """Worked from the 94 dB convention."""
    assert 4 - microphone_dbu(sensitivity, spl) == pytest.approx(gain, abs=0.006)


def test_published_maximum_output_of_a_microphone():
    """A published data sheet: 28 mV/Pa and 117 dB SPL give 390 mV (rounded by its maker)."""
    assert volts_from_dbu(microphone_dbu(28, 117)) == pytest.approx(0.390, rel=0.02)


def test_published_sound_level_of_a_voltage():
    """A published calculator: -26 dBV/Pa with 0.1 V is 100.0 dB SPL."""
    sensitivity = 1000 * 10 ** (-26 / 20)

    assert dbu_from_volts(0.1) - microphone_dbu(sensitivity, 0) == pytest.approx(100.0, abs=0.01)
