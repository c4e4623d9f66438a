"""What the picture of the rule's quality shows: words and numbers ready to be drawn; knows nothing of how."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """One rule: its name, false step-backs per 100 weeks, mean delay in evenings. `own`: the rule of this program."""

    name: str
    rate: float
    delay: float
    own: bool = False


@dataclass(frozen=True, slots=True)
class RulePanel:
    """One group of people: the best possible as a curve of (rate, delay), and the rules beside it."""

    title: str
    curve: tuple[tuple[float, float], ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class RuleFacts:
    """Panels one below the other. `aim` is the share above the curve's delay that the rule may take."""

    title: str
    across: str
    up: str
    best: str  # what the curve is
    aimed: str  # what the broken line above it is
    aim: float
    panels: tuple[RulePanel, ...]
