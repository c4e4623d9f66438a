"""English as data."""

from core.answers.english.danger import (
    IDIOMS,
    MANY_TABLETS,
    SCOPE,
    SIGN_ADJECTIVES,
    SIGNS,
)
from core.answers.english.pain_and_sets import SAYS
from core.answers.english.real_words import REAL_WORDS
from core.answers.english.spelled import SPELLED
from core.answers.english.wishes import BARE_WISHES, POLITE, WISHES
from core.answers.english.words import (
    AFTER_PRONOUN,
    AFTER_SOUND_ALIKE,
    AND_A_HALF,
    BEFORE_PRONOUN,
    BEFORE_SOUND_ALIKE,
    CLASSES,
    CONTRACTION_ENDINGS,
    EXPANSIONS,
    GLUED_UNITS,
    NUMBER_WORDS,
    RUN_TOGETHER,
    SET_NOUNS,
    SOUND_ALIKES,
    TENS,
    WRITTEN_SHORT,
)
from core.answers.lexicon import Lexicon

ENGLISH = Lexicon(
    number_words=NUMBER_WORDS,
    tens=TENS,
    and_a_half=AND_A_HALF,
    point="point",
    of="of",
    pronoun_numbers=frozenset({"one"}),
    before_pronoun=BEFORE_PRONOUN,
    determiners=frozenset({"the", "this", "that", "my"}),
    after_pronoun=AFTER_PRONOUN,
    sound_alikes=SOUND_ALIKES,
    before_sound_alike=BEFORE_SOUND_ALIKE,
    after_sound_alike=AFTER_SOUND_ALIKE,
    set_nouns=SET_NOUNS,
    plural_endings=("s",),
    joins=frozenset("and but though so because as just i it".split()),
    glued_units=GLUED_UNITS,
    written_short=WRITTEN_SHORT,
    expansions=EXPANSIONS,
    contraction_endings=CONTRACTION_ENDINGS,
    classes=CLASSES,
    says=SAYS,
    idioms=IDIOMS,
    signs=SIGNS,
    sign_adjectives=SIGN_ADJECTIVES,
    many_tablets=MANY_TABLETS,
    wishes=WISHES,
    bare_wishes=BARE_WISHES,
    polite=POLITE,
    scope=SCOPE,
    run_together=RUN_TOGETHER,
    spelled=SPELLED,
    real_words=REAL_WORDS,
)
