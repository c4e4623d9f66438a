"""English as data."""

from core.answers.english import (
    around,
    circumstances,
    complaints,
    distress,
    emergencies,
    nerves,
    pain_and_sets,
    questions,
    red_flags,
    unclear,
    words,
)
from core.answers.english.classes import CLASSES
from core.answers.english.figures import FIGURES
from core.answers.english.fillers import FILLERS
from core.answers.english.foreign_words import FOREIGN_WORDS
from core.answers.english.real_words import REAL_WORDS
from core.answers.english.scope import SCOPE, SIGN_ADJECTIVES
from core.answers.english.spelled import SPELLED
from core.answers.english.topics import TOPICS
from core.answers.english.weights import CONDITIONS, TOO_HEAVY, WEIGHTS, WORSE_MORNINGS
from core.answers.english.wishes import BARE_WISHES, CONDITION, POLITE, THROUGH, TOLD, WISHES
from core.answers.lexicon import Lexicon, Signs
from core.answers.other_languages import SMALL_WORDS
from core.model import Circumstance, Flag, Urgency

# Above any packet's daily maximum of single tablets, below milligrams; from memory, on the careful side.
_TABLETS = (9, 199)
_SYSTOLIC, _DIASTOLIC = (180, 300), (110, 200)  # evidence row L5; the most is what a cuff can show, from memory
_UNDER_AGE = (13, 17)

_SIGNS = (
    Signs(Flag.URGENT, emergencies.LITERAL, literal=True),
    Signs(Flag.URGENT, emergencies.CHEST),
    Signs(Flag.URGENT, emergencies.BREATH),
    Signs(Flag.URGENT, emergencies.STROKE),
    Signs(Flag.URGENT, emergencies.COLLAPSE, of_things=True),
    Signs(Flag.URGENT, emergencies.FAINT, of_things=True, unless="near_faint"),
    Signs(Flag.URGENT, emergencies.CALLED_FOR_HELP, anybodys=False),
    Signs(Flag.URGENT, emergencies.OVERDOSE),
    Signs(Flag.URGENT, emergencies.MANY_TABLETS, anybodys=False, limits=(_TABLETS, _TABLETS)),
    Signs(Flag.URGENT, emergencies.BLOODLESS, forgivable=True),
    Signs(Flag.URGENT, red_flags.DEFORMED, of_things=True),
    Signs(Flag.DISTRESS, distress.SELF_HARM),
    Signs(Flag.DISTRESS, distress.HOPELESS),
    Signs(Flag.DISTRESS, distress.LITERAL, literal=True),
    Signs(Flag.RED_FLAG, nerves.NUMB, Urgency.SOON, forgivable=True),
    Signs(Flag.RED_FLAG, nerves.NUMB_ALL, Urgency.TODAY, forgivable=True),
    Signs(Flag.RED_FLAG, nerves.SPREADING, Urgency.TODAY, forgivable=True),
    Signs(Flag.RED_FLAG, nerves.DROP, Urgency.TODAY, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, nerves.USE_LOST, Urgency.TODAY, forgivable=True, of_things=True, unless="because_it_hurts"),
    Signs(Flag.RED_FLAG, nerves.WEAK_ALONE, Urgency.SOON, forgivable=True, of_things=True),
    Signs(None, complaints.WEAK, forgivable=True, of_things=True, unless="because_it_hurts", part="loss"),
    Signs(Flag.RED_FLAG, red_flags.ACCIDENT, Urgency.SOON, literal=True, part="injury"),
    Signs(Flag.RED_FLAG, red_flags.INJURED, Urgency.SOON, forgivable=True, of_things=True, part="injury"),
    Signs(Flag.RED_FLAG, red_flags.BROKEN, Urgency.TODAY, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, red_flags.RUPTURED, Urgency.TODAY, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, red_flags.HOT, Urgency.TODAY, forgivable=True, of_things=True, part="hot"),
    Signs(Flag.RED_FLAG, red_flags.WARM, Urgency.SOON, forgivable=True, of_things=True, part="hot"),
    Signs(Flag.RED_FLAG, red_flags.FEVER, Urgency.SOON, forgivable=True, of_things=True, part="fever"),
    Signs(Flag.RED_FLAG, red_flags.INFECTED, Urgency.TODAY, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, red_flags.JOINT, Urgency.SOON, forgivable=True, of_things=True, part="hot"),
    Signs(
        Flag.RED_FLAG,
        red_flags.STRAIGHTENING,
        Urgency.SOON,
        forgivable=True,
        of_things=True,
        unless="on_waking",
        part="loss",
    ),
    Signs(Flag.RED_FLAG, red_flags.SLOW, Urgency.SOON),
    Signs(Flag.CIRCULATION, circumstances.PRESSURE, Urgency.TODAY, limits=(_SYSTOLIC, _DIASTOLIC)),
    Signs(Flag.CIRCULATION, circumstances.PRESSURE_HIGH, Urgency.TODAY),
    Signs(Flag.CIRCULATION, circumstances.NEAR_FAINT, Urgency.TODAY),
    Signs(Flag.CIRCULATION, circumstances.WITH_THE_SETS, Urgency.TODAY),
    Signs(Flag.INJECTION, circumstances.INJECTED, unless="other_place"),
    Signs(Flag.CIRCUMSTANCE, circumstances.SURGERY, circumstance=Circumstance.SURGERY),
    Signs(Flag.CIRCUMSTANCE, circumstances.CAST, circumstance=Circumstance.CAST),
    Signs(Flag.CIRCUMSTANCE, circumstances.PREGNANT, circumstance=Circumstance.PREGNANCY),
    Signs(Flag.CIRCUMSTANCE, circumstances.THINNED, circumstance=Circumstance.BLOOD_THINNER),
    Signs(Flag.CIRCUMSTANCE, circumstances.TENDON_MEDICINE, Urgency.TODAY, Circumstance.TENDON_MEDICINE),
    Signs(Flag.CIRCUMSTANCE, circumstances.AGE, circumstance=Circumstance.UNDER_AGE, limits=(_UNDER_AGE,)),
    Signs(Flag.CIRCUMSTANCE, circumstances.UNDER_AGE, circumstance=Circumstance.UNDER_AGE),
    Signs(Flag.CIRCUMSTANCE, circumstances.SOMEBODY_ELSE, circumstance=Circumstance.OTHER_PERSON, anybodys=False),
    Signs(Flag.CLINICAL_QUESTION, questions.TREATED),
    Signs(Flag.CLINICAL_QUESTION, questions.QUESTIONS, stated=False),
)

ENGLISH = Lexicon(
    number_words=words.NUMBER_WORDS,
    tens=words.TENS,
    and_a_half=words.AND_A_HALF,
    point="point",
    of="of",
    out_of=("out", "of"),
    pronoun_numbers=frozenset({"one"}),
    before_pronoun=words.BEFORE_PRONOUN,
    determiners=frozenset({"the", "this", "that", "my"}),
    after_pronoun=words.AFTER_PRONOUN,
    sound_alikes=words.SOUND_ALIKES,
    sure_sound_alikes=words.SURE_SOUND_ALIKES,
    before_sound_alike=words.BEFORE_SOUND_ALIKE,
    after_sound_alike=words.AFTER_SOUND_ALIKE,
    set_nouns=words.SET_NOUNS,
    joins=words.JOINS,
    plural_endings=("s",),
    glued_units=words.GLUED_UNITS,
    written_short=words.WRITTEN_SHORT,
    expansions=words.EXPANSIONS,
    contraction_endings=words.CONTRACTION_ENDINGS,
    classes=CLASSES,
    says={**around.SAYS, **pain_and_sets.SAYS, **unclear.SAYS},
    idioms=FIGURES,
    signs=_SIGNS,
    sign_adjectives=SIGN_ADJECTIVES,
    together=(frozenset({"injury", "loss"}), frozenset({"hot", "fever"})),
    wishes=WISHES,
    bare_wishes=BARE_WISHES,
    polite=POLITE,
    scope=SCOPE,
    weights=WEIGHTS,
    worse_morning=WORSE_MORNINGS,
    too_heavy=TOO_HEAVY,
    topics=TOPICS,
    turned_worse=complaints.WORSE,
    conditions=CONDITIONS,
    condition=CONDITION,
    wish_told=TOLD,
    through_wish=THROUGH,
    run_together=words.RUN_TOGETHER,
    spelled=SPELLED,
    real_words=REAL_WORDS,
    foreign_words=FOREIGN_WORDS,
    fillers=FILLERS,
    others=SMALL_WORDS,
)
