"""The drawing of the house as the page gets it: once its shape, and with each pick its arrows and words."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from retrofit_lab.app.page.told import Told
from retrofit_lab.app.shared.section_drawing import arrows, drawn_parts, section_drawing
from retrofit_lab.app.shared.shown_units import heat
from retrofit_lab.app.shared.wording import adding_up, as_rounded, rounded, shown_after
from retrofit_lab.house.parts import LOSING, PARTS, parts_of_paths
from retrofit_lab.house.section import section_of
from retrofit_lab.model.losses import SeasonLosses
from retrofit_lab.proposals.dollars_by_part import OTHERS, Dollars, dollars_by_part
from retrofit_lab.proposals.in_real_houses import Expected
from retrofit_lab.study.results import PlanResult

COOLING, HEATING = "cooling", "heating"
DRAWN_AS = {HEATING: COOLING}
"""Parts whose dollars go by another name: heat is paid where it leaves, so the machine counts what it cools."""
LEAST_SHARE = 0.05
"""Share below which a part has no line in the table. [of 100]"""
WIDEST = 46.0
"""What the largest stream of dollars is drawn as. [of 100]"""
ARROW = "\N{RIGHTWARDS ARROW}"
Now = tuple[Mapping[str, float], Mapping[str, float] | None]


class HouseDrawing:
    """Drawing of one study's house."""

    def __init__(self, told: Told) -> None:
        self.told, self.study = told, told.study
        self.section = section_of(self.study.as_found)
        self.shown = drawn_parts(self.section, PARTS)
        self.parts = {
            offer.key: parts_of_paths(self.study.house, [change.path for change in offer.changes])
            for offer in self.study.offers
        }

    @cached_property
    def _now(self) -> SeasonLosses:
        return self.study.energies.season_losses(())

    @cached_property
    def _paid_now(self) -> Dollars:
        return dollars_by_part(self.study, (), self.study.plan(()).before)

    def name(self, part: str) -> str:
        """Name of a part inside a sentence."""
        if part == "floor":
            return self.told.say(
                f"floor.{self.section.below}" if self.section.below else "part.floor"
            )
        return self.told.say(f"part.{part}")

    def shape(self) -> dict[str, Any]:
        """What stays while fixes are picked."""
        titles = {part: self.told.say(f"part_short.{part}") for part in self.shown}
        return {
            "svg": section_drawing(self.section, titles),
            "names": {part: self.name(part) for part in self.shown},
        }

    def content(self, result: PlanResult, expected: Expected) -> dict[str, Any]:
        """What a pick changes: the house in dollars, and in heat."""
        return {
            "dollars": self._in_dollars(result, expected),
            "heat": self._in_heat(result.ticked),
            "picked": {part: self._picked(part, result.ticked) for part in self.shown},
        }

    def _picked(self, part: str, ticked: Sequence[str]) -> str:
        keys = [key for key, parts in self.parts.items() if part in parts]
        if not keys:
            return self.told.say("house.part_nothing")
        on = sum(key in ticked for key in keys)
        return self.told.say("house.part_picked", on=on, count=len(keys))

    def _in_dollars(self, result: PlanResult, expected: Expected) -> dict[str, Any]:
        now, then = self._paid_now, None
        if result.ticked:
            after = dollars_by_part(self.study, result.ticked, result.after)
            then = now.toward(after, expected.saving / result.saved if result.saved else 1.0)
        widest = max((abs(now.parts[part]) for part in LOSING), default=0.0) or 1.0
        scaled = [
            {part: WIDEST * paid.parts[part] / widest for part in LOSING} if paid else None
            for paid in (now, then)
        ]
        shown = as_shown(now, rounded(now.whole))
        later = as_shown(then, shown_after(now.whole, then.whole)) if then else None
        amounts = {part: self._amounts(part, shown, later) for part in self.shown}
        return {
            "sentence": self._dollar_sentence(shown, later),
            "parts": self._drawn((scaled[0] or {}, scaled[1]), amounts, as_rounded),
            "columns": self.told.all("house.columns_dollars"),
            "rows": self._dollar_rows(shown, later or shown),
        }

    def _amounts(self, part: str, now: Dollars, then: Dollars | None) -> tuple[float, float | None]:
        name = DRAWN_AS.get(part, part)
        return now.parts[name], then.parts[name] if then else None

    def _drawn(
        self,
        streams: Now,
        amounts: Mapping[str, tuple[float, float | None]],
        written: Any,
    ) -> dict[str, dict[str, str]]:
        drawn = arrows(self.section, *streams)
        blank = {"before": "", "after": ""}
        return {
            part: {**blank, **drawn.get(part, {}), **self._said(part, amounts[part], written)}
            for part in self.shown
            if part in amounts
        } | {
            part: {**blank, "numbers": "", "label": self.name(part)}
            for part in self.shown
            if part not in amounts
        }

    def _said(self, part: str, amount: tuple[float, float | None], written: Any) -> dict[str, str]:
        now, then = written(amount[0]), None if amount[1] is None else written(amount[1])
        name = self.name(part)
        name = name[:1].upper() + name[1:]
        if then is None or then == now:
            return {
                "numbers": now,
                "label": self.told.say("house.part_dollars", part=name, amount=now),
            }
        label = self.told.say("house.part_dollars_plan", part=name, now=now, then=then)
        return {"numbers": f"{now} {ARROW} {then}", "label": label}

    def _dollar_sentence(self, now: Dollars, then: Dollars | None) -> str:
        heat = sum(now.parts[part] for part in LOSING)
        paid = {HEATING: heat, **{part: now.parts[part] for part in OTHERS}}
        most = sorted(paid, key=lambda use: -paid[use])[:3]
        said = [self.told.say("house.sentence", **self._named(most, paid))]
        if HEATING in most:
            leaving = sorted(LOSING, key=lambda part: -now.parts[part])[:2]
            said.append(self.told.say("house.sentence_heat", **self._named(leaving, now.parts)))
        if then is not None:
            whole = {"now": as_rounded(now.whole), "after": as_rounded(then.whole)}
            said.append(self.told.say("house.sentence_plan", **whole))
        return " ".join(said)

    def _named(self, parts: Sequence[str], paid: Mapping[str, float]) -> dict[str, str]:
        """Names and dollars of the largest parts, as the sentences have them."""
        names = {HEATING: self.told.say("house.heating")}
        blanks: dict[str, str] = {}
        for place, part in zip(("first", "second", "third"), parts, strict=False):
            name = names.get(part) or self.name(part)
            blanks |= {place: name, f"{place}_amount": as_rounded(paid[part])}
        return blanks

    def _dollar_rows(self, now: Dollars, then: Dollars) -> list[list[str]]:
        rows = [
            (self.name(part), now.parts[part], then.parts[part])
            for part in (*LOSING, *OTHERS)
            if now.parts[part] or then.parts[part]
        ]
        if now.fixed:
            rows.append((self.told.say("house.fixed"), now.fixed, then.fixed))
        rows.append((self.told.say("house.all"), now.whole, then.whole))
        return [[name, as_rounded(before), as_rounded(after)] for name, before, after in rows]

    def _in_heat(self, ticked: Sequence[str]) -> dict[str, Any]:
        losses = self.study.energies.season_losses(ticked)
        whole = self._now.total
        now, then = (
            {part: float(share) for part, share in which.of_hundred(whole).items()}
            for which in (self._now, losses)
        )
        amounts = {p: (now[p], then[p] if ticked else None) for p in self.shown if p in LOSING}
        return {
            "sentence": self._heat_sentence(now, then if ticked else None),
            "parts": self._drawn((now, then if ticked else None), amounts, _percent),
            "columns": self.told.all("house.columns_heat"),
            "rows": self._heat_rows(now, then, losses),
        }

    def _heat_sentence(self, now: Mapping[str, float], then: Mapping[str, float] | None) -> str:
        blanks: dict[str, str] = {}
        for place, part in zip(
            ("first", "second", "third"), sorted(now, key=lambda p: -now[p]), strict=False
        ):
            blanks |= {place: self.name(part), f"{place}_share": _percent(now[part])}
        said = self.told.say("house.heat_sentence", **blanks)
        if then is None:
            return said
        less = sum(now.values()) - sum(then.values())
        key = "house.heat_sentence_plan" if less >= 0 else "house.heat_sentence_more"
        return f"{said} {self.told.say(key, less=_percent(less), more=_percent(-less))}"

    def _heat_rows(
        self, now: Mapping[str, float], then: Mapping[str, float], losses: SeasonLosses
    ) -> list[list[str]]:
        system = self.told.words.system
        rows = [
            [
                self.name(part), _percent(now[part]), _percent(then[part]),
                heat(self._now.by_part[part], system), heat(losses.by_part[part], system),
            ]
            for part in LOSING
            if max(abs(now[part]), abs(then[part])) >= LEAST_SHARE
        ]  # fmt: skip
        totals = (heat(self._now.total, system), heat(losses.total, system))
        tanks = (heat(self._now.hot_water, system), heat(losses.hot_water, system))
        return [
            *rows,
            [self.told.say("house.all"), "100%", _percent(sum(then.values())), *totals],
            [self.told.say("house.tank"), "", "", *tanks],
        ]


def as_shown(paid: Dollars, whole: int) -> Dollars:
    """A bill rounded as it is shown, so that its parts add up to a whole that was rounded before."""
    *parts, fixed = map(float, adding_up([*paid.parts.values(), paid.fixed], whole))
    return Dollars(parts=dict(zip(paid.parts, parts, strict=True)), fixed=fixed, whole=whole)


def _percent(share: float) -> str:
    """A share as people say it, in whole percent."""
    return f"{share:.0f}%"
