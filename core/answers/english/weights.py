"""A weight told as used, and a morning told to be worse than before the sets."""

from core.answers.lexicon import phrases
from core.answers.scope import Weights

_KILO = "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes"
_POUND = "lb lbs pound pounds"
_GRAM = "g gram grams gramme grammes"
_OTHER = (
    "lost lose losing gained weigh weighs weighed weighing yesterday tomorrow next last week should shall can could may"
    " might would want will going supposed meant instead not never carried carrying shopping lifting cost paid spent"
    " potatoes suitcase luggage baby dog cat day work monday tuesday wednesday thursday friday saturday sunday if when"
    " until planning thinking maybe perhaps eventually aim target goal max parcel cement compost"
)

WEIGHTS = Weights(
    grams={
        **dict.fromkeys(_KILO.split(), 1000.0),
        **dict.fromkeys(_POUND.split(), 453.59237),  # the international pound
        **dict.fromkeys(_GRAM.split(), 1.0),
    },
    halves={"half": 0.5},
    between=frozenset("a - of".split()),
    using=frozenset("with using used use holding on at to".split()),
    done=frozenset(
        "did done do all sets set hold holds lowering lowered lifts reps weight weights dumbbell dumbell bottle tin managed"
        " each exercises".split()
    ),
    fillers=frozenset(
        "a the my with weight weights bottle dumbbell tin one today tonight now still and at on about was is it - :".split()
    )
    | frozenset(f"{_KILO} {_POUND} {_GRAM} half".split()),
    other=frozenset(_OTHER.split()),
)

WORSE_MORNINGS = phrases(
    """
    <worse> ~ on|upon|when|after ~ waking|wake|woke|woken|get_up|got_up|getting_up ; woke|wake|woken|waking ~~ <worse>
    woke|woken|wake|waking ~~ with ~ more|extra pain ; <worse> ~ this|next|the|in_the morning ~~ than
    this|next|in_the morning ~~ <worse> ~ than ; morning after ~~ <worse> ; <worse> ~ the? morning after
    <worse> ~ than before ~~ <set> ~~ this_morning|on_waking|when_i_woke
    <worse> ~ this morning ; <worse> ~ first thing ; this morning ~ it|elbow|arm|was|is ~ <worse>
    """
)
TOO_HEAVY = phrases(
    """
    weight|kg|kilo|kilos|bottle|it|that|load|dumbbell|set ~ was|is|were|felt ~ far|much|way|bit|just? ~ too much|heavy
    too heavy ; too much weight
    """
)
CONDITIONS = frozenset("if unless whether".split())
