"""What is said to the acts that are about one person and ask nothing more."""

from __future__ import annotations

from dataclasses import dataclass

from fleet.acts.fields import number


@dataclass(frozen=True, slots=True)
class OfPerson:
    """The person that an act is about."""

    person_id: int = number("The person", least=1, name="person")
