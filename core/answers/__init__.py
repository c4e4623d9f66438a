"""Typed answers: what one text clearly gives of pain, sets, danger and wishes."""

from core.answers.mattering import mattering
from core.answers.understand import understand

__all__ = ["mattering", "understand"]
