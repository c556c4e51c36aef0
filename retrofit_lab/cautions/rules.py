"""Which cautions a house and a choice of measures call for; the texts stand in ``data/cautions.toml``.

A caution informs. Nothing here says that anything is safe.
"""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from retrofit_lab.house.description import House
from retrofit_lab.measures.catalogue import Measure
from retrofit_lab.reference_data import data_path


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One thing that can hurt someone: when it is shown, what is said and where it comes from.

    ``edition`` says which edition or year of the source was used; empty where there is no source.
    """

    key: str
    title: str
    text: str
    source: str
    edition: str = ""
    mark: str
    observations: tuple[str, ...] = ()
    built_before: int = 0
    only_with_burners: bool = False
    only_below_minimum_ventilation: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Raised:
    """A caution that applies, and the measures that raised it; none where the house itself does."""

    caution: Caution
    measures: tuple[str, ...]


@cache
def cautions() -> Mapping[str, Caution]:
    """All cautions by key."""
    table = tomllib.loads(data_path("cautions.toml").read_text(encoding="utf-8"))
    return MappingProxyType({entry["key"]: _caution(entry) for entry in table["caution"]})


def _caution(entry: Mapping[str, object]) -> Caution:
    content = {key: tuple(v) if isinstance(v, list) else v for key, v in entry.items()}
    return Caution(**content)  # type: ignore[arg-type]


def cautions_for(
    house: House, chosen: Iterable[Measure], *, below_minimum_ventilation: bool
) -> tuple[Raised, ...]:
    """Cautions that a house or the chosen measures raise, in the order of the data.

    Parameters
    ----------
    house : House
        House as found.
    chosen : iterable of Measure
        Measures that would be carried out.
    below_minimum_ventilation : bool
        Whether the house would then get less outdoor air than the standard asks for.
    """
    chosen = tuple(chosen)
    found = []
    for caution in cautions().values():
        if not _can_matter(caution, house, below_minimum_ventilation):
            continue
        raisers = tuple(m.key for m in chosen if caution.key in m.cautions)
        if raisers or set(caution.observations) & set(house.observations):
            found.append(Raised(caution=caution, measures=raisers))
    return tuple(found)


def _can_matter(caution: Caution, house: House, below_minimum: bool) -> bool:
    if caution.only_with_burners and not has_burners(house):
        return False
    if caution.only_below_minimum_ventilation and not below_minimum:
        return False
    seen = bool(set(caution.observations) & set(house.observations))
    return seen or not caution.built_before or float(house.site.year_built) < caution.built_before


def has_burners(house: House) -> bool:
    """Whether anything in the house burns a fuel."""
    heaters = [h.fuel for h in house.fuel_heaters] + [t.fuel for t in house.water_heaters]
    flue = house.leakage.flue == "open" or "unvented_heater" in house.observations
    return flue or any(fuel != "electricity" for fuel in heaters)
