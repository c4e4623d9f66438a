"""Typed answers: what one text clearly gives of pain, sets, danger and wishes."""

from core.answers.understand import mattering, understand

__all__ = ["mattering", "understand"]
