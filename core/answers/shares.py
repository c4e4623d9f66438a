"""Sets told in parts: "the first two ... the other two", "4 left, 4 right"."""

from collections.abc import Sequence
from dataclasses import replace

from core.answers.items import Item
from core.answers.lexicon import Says
from core.answers.values import Value
from core.model import Question, Unclear


def with_shares(values: list[Value], items: Sequence[Item], prescribed: int) -> list[Value]:
    """ "The first two ... the other two" are all of four; one share alone counts only when it is said to be done."""
    shares = [value for value in values if items[value.place].says is Says.SHARE]
    told = [value for value in values if items[value.place].says is not Says.SHARE]
    done = [share for share in shares if share.place and items[share.place - 1].says is Says.DID]
    beside = any(value.place and items[value.place - 1].says is Says.DID for value in told)
    if len(shares) > 1:
        number = sum(share.number or 0 for share in shares)
        why = None if number == prescribed else Unclear.SEVERAL
        done = [replace(shares[-1], number=None if why else number, why=why)]
    elif shares and not done and beside:  # "did two, then the other two"
        done = [replace(shares[0], number=None, why=Unclear.SEVERAL)]
    return sorted([*told, *done], key=lambda value: value.place)


def both_arms_alike(values: list[Value], question: Question) -> list[Value]:
    """ "4 left, 4 right, pain 3": the same of either arm, with the pain told or not asked, are the sets of both."""
    arms = [value for value in values if value.side and value.to is not Question.PAIN]
    told = {value.to for value in values if value not in arms}
    alike = len(arms) > 1 and len({value.number for value in arms}) == 1 and arms[0].number is not None
    of_sets = question is Question.SETS or Question.PAIN in told or any(value.to for value in arms)
    if not alike or Question.SETS in told or not of_sets:
        return values
    both = replace(arms[-1], to=Question.SETS, part=False)
    return [both if value is arms[-1] else value for value in values if value is arms[-1] or value not in arms]
