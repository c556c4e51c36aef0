"""Several blower-door readings of a house put in place of one; the fit itself is in the physics room."""

from retrofit_lab.house.description import House
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.physics.blower_door import PowerLawFit, fit_power_law

FIT_FROM = 3
REFERENCE_PRESSURE = 50.0


def leakage_fit(house: House) -> PowerLawFit | None:
    """Power law through the readings of a house, or None where there are fewer than three.

    Raises
    ------
    InputError
        When the readings give no possible power law.
    """
    readings = house.leakage.readings
    if len(readings) < FIT_FROM:
        return None
    pressures = [float(reading.pressure) for reading in readings]
    return fit_power_law(pressures, [float(reading.flow) for reading in readings])


def with_fitted_leakage(house: House) -> House:
    """House whose single reading is the fit's flow at 50 Pa, with the fit's exponent."""
    fit = leakage_fit(house)
    if fit is None:
        return house
    return with_numbers(
        house,
        {
            "leakage.flow": fit.flow_50,
            "leakage.pressure": REFERENCE_PRESSURE,
            "leakage.exponent": fit.exponent,
        },
    )
