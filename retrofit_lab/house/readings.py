"""Blower-door readings of a house as they count for the model: corrected for cold, several put in place of one."""

from retrofit_lab.house.description import House
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.physics.blower_door import PowerLawFit, envelope_flow, fit_power_law

FIT_FROM = 3
REFERENCE_PRESSURE = 50.0


def leakage_fit(house: House) -> PowerLawFit | None:
    """Power law through the readings of a house as they were read, or None where there are fewer than three.

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


def through_the_leaks(house: House, flow: float) -> float:
    """Flow through the leaks for a flow read at the fan, at the temperatures of the test. [cfm]"""
    leak = house.leakage
    inside, outside = float(leak.indoor_temperature), float(leak.outdoor_temperature)
    blown_in = leak.fan_blows == "in"
    return float(envelope_flow(flow, inside, outside, pressurized=blown_in))


def with_fitted_leakage(house: House) -> House:
    """House whose single reading is the flow through the leaks, by the fit at 50 Pa where there is one."""
    fit = leakage_fit(house)
    leak = house.leakage
    changes = {"leakage.outdoor_temperature": leak.indoor_temperature}
    if fit is None:
        changes["leakage.flow"] = through_the_leaks(house, float(leak.flow))
        return with_numbers(house, changes)
    changes |= {
        "leakage.flow": through_the_leaks(house, fit.flow_50),
        "leakage.pressure": REFERENCE_PRESSURE,
        "leakage.exponent": fit.exponent,
    }
    return with_numbers(house, changes)
