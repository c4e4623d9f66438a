"""English as data."""

from core.answers.english import around, distress, emergencies, pain_and_sets, questions, red_flags, unclear, words
from core.answers.english.classes import CLASSES
from core.answers.english.figures import FIGURES
from core.answers.english.real_words import REAL_WORDS
from core.answers.english.scope import SCOPE, SIGN_ADJECTIVES
from core.answers.english.spelled import SPELLED
from core.answers.english.wishes import BARE_WISHES, POLITE, WISHES
from core.answers.lexicon import Lexicon, Signs
from core.model import Flag, Urgency

_SIGNS = (
    Signs(Flag.URGENT, emergencies.LITERAL, literal=True),
    Signs(Flag.URGENT, emergencies.CHEST),
    Signs(Flag.URGENT, emergencies.BREATH),
    Signs(Flag.URGENT, emergencies.STROKE),
    Signs(Flag.URGENT, emergencies.COLLAPSE, of_things=True),
    Signs(Flag.URGENT, emergencies.CALLED_FOR_HELP, anybodys=False),
    Signs(Flag.URGENT, emergencies.OVERDOSE),
    Signs(Flag.URGENT, emergencies.BLOODLESS, forgivable=True),
    Signs(Flag.DISTRESS, distress.SELF_HARM),
    Signs(Flag.DISTRESS, distress.HOPELESS),
    Signs(Flag.DISTRESS, distress.LITERAL, literal=True),
    Signs(Flag.RED_FLAG, red_flags.NERVE, Urgency.SOON, forgivable=True),
    Signs(Flag.RED_FLAG, red_flags.WEAKNESS, Urgency.SOON, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, red_flags.JOINT, Urgency.SOON, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, red_flags.INJURY, Urgency.TODAY, forgivable=True, of_things=True),
    Signs(Flag.RED_FLAG, red_flags.SLOW_DANGER, Urgency.SOON),
    Signs(Flag.RED_FLAG, red_flags.LITERAL, Urgency.TODAY, literal=True),
    Signs(Flag.CLINICAL_QUESTION, questions.TREATED),
    Signs(Flag.CLINICAL_QUESTION, questions.QUESTIONS, stated=False),
)

ENGLISH = Lexicon(
    number_words=words.NUMBER_WORDS,
    tens=words.TENS,
    and_a_half=words.AND_A_HALF,
    point="point",
    of="of",
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
    many_tablets=emergencies.MANY_TABLETS,
    wishes=WISHES,
    bare_wishes=BARE_WISHES,
    polite=POLITE,
    scope=SCOPE,
    run_together=words.RUN_TOGETHER,
    spelled=SPELLED,
    real_words=REAL_WORDS,
)
