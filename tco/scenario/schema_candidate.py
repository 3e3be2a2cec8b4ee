"""Candidates and the present position."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, PrivateAttr

from tco.scenario.followers import Turn, turns
from tco.scenario.kinds import IS_WORD, Amount, Quantity, Text, Texts, YesNo
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_names import ByPress
from tco.scenario.schema_press import Press

PresentLease = Literal["finish", "buy out", "rolled in"]


class Candidate(Press):
    """One complete way to get the work done: one press written directly, or several under `presses`."""

    quote: Text | None = Field(default=None, description="Document the terms come from: source and status of all "
                                                         "figures "
                               "here. Text.", examples=["Tarnwick, offer 1187, 14 January 2027"])
    covered: Texts | None = Field(default=None, description="What the quote says is included. Words.",
                                  examples=[["delivery", "training"]])
    not_covered: Texts | None = Field(default=None, description="What the quote says is not included. Words.",
                                      examples=[["staples"]])
    present_lease: Annotated[Literal["finish", "buy out", "rolled in"], IS_WORD, WhenAbsent("finish")] = Field(
        description="What becomes of the running lease of the present press. Word.", examples=["finish"])
    posts: Quantity | None = Field(default=None, description="Posts this candidate needs. Posts; default computed.",
                                   examples=[1.5])
    outside_only: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether everything is printed outside. Yes or no.", examples=["yes"])
    may_stop_without_funds: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether leases and service end without charge at the end of a fiscal year when no money is "
                    "granted for the next. Yes or no.", examples=["yes"])
    presses: ByPress[Press] | None = Field(default=None, description="Several presses by id, in order of filling. "
                                          "Section.", examples=["{colour: {cash: {price: 58500}}, black: {owned: {}}}"])

    _id: str = PrivateAttr(default="")

    @property
    def id(self) -> str:
        """Id of the candidate; `today` for the present position."""
        return self._id

    def identify(self, key: str) -> None:
        """Give the candidate its id; called once, by completion."""
        self._id = key

    @property
    def title(self) -> str:
        """Name for people."""
        return self.name or self._id.replace("_", " ").capitalize()

    def press_items(self) -> list[tuple[str, Press, str]]:
        """Return (press id, press, path prefix of its keys) in order of filling; empty when everything goes outside."""
        if self.outside_only:
            return []
        if self.presses is not None:
            return [(key, press, f"{self._id}.presses.{key}") for key, press in self.presses.items()]
        return [("press", self, self._id)]

    def press_title(self, key: str, press: Press) -> str:
        """Name a press for people: by its own name or else its id; the only one by the candidate."""
        return press.name or (key.replace("_", " ").capitalize() if self.presses else self.title)

    def turn_title(self, turn: Turn) -> str:
        """The same of a press in its turn: ``Birch, no. 2`` for the first that follows."""
        name = self.press_title(turn.of, turn.press)
        return f"{name}, no. {turn.number}" if turn.follows else name

    def fleet(self, horizon: int) -> list[Turn]:
        """Return every press in order of filling, each with those that follow it within so many months."""
        return [turn for key, press, _ in self.press_items() for turn in turns(key, press, horizon)]


class LastYear(Part):
    """What was paid in the twelve months before `start`."""

    equipment: Amount | None = Field(default=None, description="Rents and purchases. Money.", examples=[25920])
    service: Amount | None = Field(default=None, description="Service invoices. Money.", examples=[63400])
    supplies: Amount | None = Field(default=None, description="Supplies bought. Money.", examples=[2100])
    paper: Amount | None = Field(default=None, description="Paper invoices. Money.", examples=[23900])
    people: Amount | None = Field(default=None, description="Wages with on-cost. Money.", examples=[138000])
    energy: Amount | None = Field(default=None, description="Electricity of the presses. Money.", examples=[1900])
    outside: Amount | None = Field(default=None, description="Outside printing. Money.", examples=[5200])


class Today(Candidate):
    """The present position: the reference of every comparison."""

    last_year: LastYear | None = Field(default=None, description="Sums paid in the twelve months before start. "
                                          "Section.", examples=["{service: 63400, paper: 23900}"])
