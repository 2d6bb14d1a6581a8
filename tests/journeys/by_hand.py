"""What a person does in a browser, counted: things typed, things clicked, and the clock of each step."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, field

from playwright.sync_api import Locator, Page


@dataclass(slots=True)
class Step:
    """One step of a journey: what was typed and clicked in it, and when it was over, in seconds from the start."""

    name: str
    typed: int = 0
    clicked: int = 0
    at: float = 0.0


@dataclass(slots=True)
class Hand:
    """Types and clicks on a page, and keeps count."""

    page: Page
    begun: float = field(default_factory=time.monotonic)
    steps: list[Step] = field(default_factory=list)

    def step(self, name: str) -> None:
        """What follows belongs to this step."""
        self.end()
        self.steps.append(Step(name))

    def end(self) -> None:
        if self.steps:
            self.steps[-1].at = time.monotonic() - self.begun

    def types(self, label: str, text: str, *, exact: bool = True) -> None:
        self.page.get_by_label(label, exact=exact).first.fill(text)
        self.steps[-1].typed += 1

    def clicks(self, what: Locator) -> None:
        what.click()
        self.steps[-1].clicked += 1

    def button(self, name: str) -> None:
        self.clicks(self.page.get_by_role("button", name=name, exact=True))

    def link(self, name: str) -> None:
        self.clicks(self.page.get_by_role("link", name=name, exact=True).first)

    @property
    def typed(self) -> int:
        return sum(step.typed for step in self.steps)

    @property
    def clicked(self) -> int:
        return sum(step.clicked for step in self.steps)

    def tell(self) -> None:
        """The steps as lines, for whoever runs the journey with its words shown."""
        self.end()
        for step in self.steps:
            sys.stdout.write(
                f"{step.at:6.1f} s  {step.typed:2} typed {step.clicked:2} clicked  {step.name}\n"
            )
