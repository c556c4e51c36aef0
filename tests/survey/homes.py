"""The homes of a national survey as the facts that the survey tells; nothing is worked out here.

What the survey leaves open (stories, foundation, kind of electric heat, water heater) is dealt to the homes
in the shares of published tables, by place and size, so that sums over many homes come out right.
"""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FILE = Path(__file__).parents[1] / "data" / "homes_2015.csv"
FUELS = {
    "electricity": "electricity_kBtu",
    "natural_gas": "natural_gas_kBtu",
    "heating_oil": "oil_kBtu",
    "propane": "propane_kBtu",
    "wood": "wood_kBtu",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Home:
    """One row of the survey: facts, bills by fuel [kBtu/year] and the survey's own end uses. [kBtu/year]"""

    place: int
    division: str
    kind: str
    heating_degree_days: float
    cooling_degree_days: float
    built: str
    area: float
    heated_area: float
    cooled_area: float
    people: float
    heat: str
    insulation: str
    cooling: str
    cools_when_needed: bool
    winter: tuple[float, float, float] | None
    summer: tuple[float, float] | None
    used: dict[str, float]
    end_uses: dict[str, float]
    weight: float

    @property
    def shown(self) -> bool:
        """Whether the home is one of those that no number was chosen by."""
        return self.place % 2 == 1

    @property
    def total(self) -> float:
        """All site energy. [kBtu/year]"""
        return sum(self.used.values())


@cache
def homes() -> tuple[Home, ...]:
    """All homes in the order of the file."""
    with FILE.open(encoding="utf-8") as file:
        return tuple(_home(place, row) for place, row in enumerate(csv.DictReader(file)))


def _home(place: int, row: dict[str, str]) -> Home:
    used = {fuel: float(row[column]) for fuel, column in FUELS.items()}
    metered = sum(used.values()) - used["wood"]
    shares = {use: float(row[f"{use}_share"]) for use in ("heating", "cooling", "other")}
    end_uses = {use: share * metered for use, share in shares.items()}
    end_uses["heating"] += used["wood"]
    winter = tuple(_number(row[f"winter_{when}_F"]) for when in ("day", "away", "night"))
    summer = tuple(_number(row[f"summer_{when}_F"]) for when in ("day", "night"))
    return Home(
        place=place,
        division=row["census_division"],
        kind=row["type"],
        heating_degree_days=float(row["heating_degree_days_65"]),
        cooling_degree_days=float(row["cooling_degree_days_65"]),
        built=row["built"],
        area=float(row["floor_area_ft2"]),
        heated_area=float(row["heated_area_ft2"]) or float(row["floor_area_ft2"]),
        cooled_area=float(row["cooled_area_ft2"]),
        people=float(row["people"]),
        heat=row["main_heat"],
        insulation=row["insulation_as_told"],
        cooling=row["cooling"],
        cools_when_needed=row["cooling_behavior"] == "Turn on or off as needed",
        winter=winter if all(winter) else None,
        summer=summer if all(summer) else None,
        used=used,
        end_uses=end_uses,
        weight=float(row["weight"]),
    )


def _number(text: str) -> float:
    return float(text) if text else 0.0
