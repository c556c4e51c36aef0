"""Blower door, natural flow and ventilation against handbook values and a standard's altitude table."""

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.air_properties import air_density_ratio, air_heat_coefficient
from retrofit_lab.physics.blower_door import effective_leakage_area, flow_at, flow_coefficient
from retrofit_lab.physics.natural_airflow import (
    annual_flow,
    basic_flow,
    natural_flow,
    shelter_factor,
    stack_factor,
    wind_factor,
)
from retrofit_lab.physics.ventilation import combine_with_fans, minimum_ventilation

ALTITUDE = "Design Guide for HVAC Systems (2000/2006) Table 6a"
STANDARD = "ASHRAE 62.2-2013, credit page of a national laboratory"


def flow_at_4(exponent: float) -> float:
    """Flow at 4 Pa for each cfm at 50 Pa."""
    return flow_at(flow_coefficient(1.0, 50.0, exponent), exponent, 4.0)


CHECKS = [
    *(
        Check("air leakage", f"flow at 4 Pa for n = {n}", "arithmetic of the power law",
              "common practice, no source", q, lambda n=n: flow_at_4(n), 5e-5, "printed to four digits")
        for n, q in {0.65: 0.19365, 0.5: 0.2828, 0.6: 0.2197, 0.7: 0.1707}.items()
    ),
    Check("air leakage", "leakage area for each CFM50", "ASTM E779 formula", "memory", 0.05486,
          lambda: effective_leakage_area(flow_at_4(0.65)), 0.0005, "rounded constants"),
    Check("air leakage", "annual method, 2 storeys, weather factor 0.56", STANDARD, "read", 76.9,
          lambda: annual_flow(2000.0, 2.0, 0.56), 0.2, "storey factor 1.32 printed, 2^0.4 here"),
    Check("air leakage", "basic model, two-storey house in Lincoln",
          "ASHRAE Fundamentals chapter 16 example", "memory", 74.0,
          lambda: basic_flow(500.0, 39.0, 6.7, 0.000290, 0.000231), 0.74, "1 %"),
    *(
        Check("air leakage", f"air density at {ft} ft", ALTITUDE, "read", sigma,
              lambda ft=ft: air_density_ratio(ft), 0.002,
              "the table is for 60 F at altitude; 0.2 % as between it and psychrolib")
        for ft, sigma in {6000: 0.801, 7000: 0.772, 8000: 0.743}.items()
    ),
    Check("air leakage", "heat carried by air at sea level", "0.075 x 0.24 x 60",
          "common practice, no source", 1.08, lambda: air_heat_coefficient(1.0), 1e-12, "exact"),
    Check("air leakage", "minimum ventilation, 2,400 ft2 and 3 bedrooms",
          "ASHRAE 62.2-2013 example as quoted", "read", 102.0,
          lambda: minimum_ventilation(2400.0, 3.0), 1e-9, "exact"),
    Check("air leakage", "limit: no wind and no difference", "limiting case",
          "common practice, no source", 0.0,
          lambda: natural_flow(100.0, 0.65, 0.0, 0.0, stack_factor=stack_factor(2.0, False),
                               wind_factor=wind_factor(2.0, "basement"),
                               shelter_factor=shelter_factor(3.0, False)), 1e-12, "exact"),
    Check("air leakage", "limit: balanced fan adds fully", "limiting case",
          "common practice, no source", 150.0,
          lambda: combine_with_fans(100.0, 0.0, 0.0, balanced=50.0), 1e-12, "exact"),
    Check("air leakage", "half of an exhaust fan adds", "Palmiter and Bond 1991", "memory", 120.0,
          lambda: combine_with_fans(100.0, 40.0, 0.0), 1e-12, "exact"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def test_density_agrees_with_psychrometric_library() -> None:
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.IP)
    sea = psychrolib.GetStandardAtmPressure(0.0)
    for feet in (1000.0, 5280.0, 7113.0):
        ratio = psychrolib.GetStandardAtmPressure(feet) / sea
        assert air_density_ratio(feet) == pytest.approx(ratio, rel=2e-4)


def test_heat_coefficient_agrees_with_fluid_library() -> None:
    properties = pytest.importorskip("CoolProp.CoolProp")
    kelvin = (70.0 + 459.67) / 1.8
    density = properties.PropsSI("D", "T", kelvin, "P", 101325.0, "Air")
    heat = properties.PropsSI("C", "T", kelvin, "P", 101325.0, "Air")
    ours = air_heat_coefficient(1.0)
    theirs = density * heat * 0.0283168 * 60.0 / 1055.056 / 1.8
    assert ours == pytest.approx(theirs, rel=0.003)
