"""A picture of a house in section for a notebook, with arrows as wide as the heat that leaves."""

from dataclasses import dataclass

from retrofit_lab.app.shared.section_drawing import arrows, drawn_parts, section_drawing
from retrofit_lab.app.shared.svg import markup
from retrofit_lab.app.shared.words import words
from retrofit_lab.house.section import section_of
from retrofit_lab.study.lab import Lab

STYLE = "max-width: 46rem; font: 13px Verdana, sans-serif"


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing that a notebook shows."""

    svg: str

    def _repr_html_(self) -> str:
        return f'<div style="{STYLE}">{self.svg}</div>'


def house_picture(lab: Lab, language: str = "en") -> Picture:
    """The house in section; each part with its share of the heat that leaves over a heating season."""
    said = words(language, page="page")
    losses = lab.study.energies.season_losses(())
    shares = {part: float(share) for part, share in losses.of_hundred(losses.total).items()}
    section = section_of(lab.house)
    parts = drawn_parts(section, [part for part, share in shares.items() if share > 0.0])
    titles = {part: said.say(f"part_short.{part}") for part in parts}
    numbers = {part: f"{shares[part]:.0f}%" for part in parts}
    drawn = arrows(section, shares, None)
    return Picture(markup(section_drawing(section, titles), drawn, numbers))
