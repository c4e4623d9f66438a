"""English number words, short forms and glued units."""

_SMALL = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
         "ninety": 90, "hundred": 100}  # fmt: skip
_SLIPS = {"fou": 4, "fve": 5, "sevn": 7, "eigt": 8, "thre": 3, "fuor": 4, "foru": 4, "tow": 2, "siz": 6, "sx": 6,
          "ziro": 0, "fiv": 5, "nin": 9, "oen": 1, "sxi": 6}  # fmt: skip

NUMBER_WORDS = {
    **{word: value for value, word in enumerate(_SMALL.split())},
    "seventeen": 17, "eighteen": 18, "nineteen": 19, "nil": 0, "nought": 0, "naught": 0, "zilch": 0, "nul": 0,
    **_TENS,
    **_SLIPS,
}  # fmt: skip
TENS = frozenset(_TENS)
AND_A_HALF = (("and", "a", "half"), ("and", "half"), ("n", "a", "half"), ("an", "a", "half"), ("1", "/", "2"))

BEFORE_PRONOUN = frozenset(
    "the this that last each every no any which other another hard bad good easy new big first second third"
    " some extra kg kgs kilo kilos kilogram kilograms lb lbs pound pounds gram grams red green blue yellow black heavy light"
    " heavier lighter".split()
)
AFTER_PRONOUN = frozenset("day thing more or time side way of-these moment minute".split())

SOUND_ALIKES = {"for": 4, "fore": 4, "to": 2, "too": 2, "tu": 2, "ate": 8, "won": 1, "tree": 3, "fife": 5, "sex": 6}
BEFORE_SOUND_ALIKE = frozenset("pain level score pain's did rating".split())
AFTER_SOUND_ALIKE = frozenset("did done sets set and out of".split())
SET_NOUNS = frozenset("set sets hold holds round rounds".split())

GLUED_UNITS = {"s": "seconds", "m": "minutes", "h": "hours", "g": "grams", "k": "kilos", "d": "days", "w": "weeks",
               "r": "reps", "l": "ll"}  # fmt: skip

WRITTEN_SHORT = {"2day": "today", "2nite": "tonight", "2night": "tonight", "2moro": "tomorrow", "b4": "before",
                 "4got": "forgot", "4get": "forget", "gr8": "great", "l8r": "later", "l8": "late", "m8": "mate",
                 "w8": "wait", "2mrw": "tomorrow", "4eva": "forever", "a&e": "emergency", "2moz": "tomorrow",
                 "no1": "nobody", "any1": "anybody", "d1d": "did", "a11": "all"}  # fmt: skip

CONTRACTION_ENDINGS = {"n't": "not", "'m": "am", "'re": "are", "'ve": "have", "'ll": "will", "'d": "would", "'s": "is"}

_NOT = "do does did is was are were have has had could would should".split()
EXPANSIONS = {
    **{f"{verb}nt": f"{verb} not" for verb in _NOT},
    **{f"{verb}n't": f"{verb} not" for verb in _NOT},
    "cant": "can not", "can't": "can not", "cannot": "can not", "wont": "will not", "won't": "will not",
    "dunno": "do not know", "aint": "is not", "ain't": "is not", "im": "i am", "ive": "i have", "its": "it is",
    "iv": "i have", "thats": "that is", "whats": "what is", "everythings": "everything is", "theres": "there is", "nothings": "nothing is", "somethings": "something is", "loosing": "losing", "num": "numb",
    "wun": "one", "packit": "packet", "pane": "pain", "naw": "no", "maist": "most", "hale": "whole", "suiside": "suicide", "sucide": "suicide", "strok": "stroke", "kilers": "killers", "meny": "many", "stuk": "stuck", "unlok": "unlock", "fiever": "fever", "hed": "head",
    "hes": "he is", "shes": "she is", "wanna": "want to", "gonna": "going to", "gotta": "have to", "u": "you",
    "ur": "your", "pls": "please", "plz": "please", "n": "and", "nd": "and", "w/o": "without", "thx": "thanks",
    "cuz": "because", "coz": "because", "cos": "because", "anymore": "any more", "tonite": "tonight",
    "evry": "every", "yday": "yesterday", "yest": "yesterday", "ystrday": "yesterday", "tmrw": "tomorrow",
    "tomoz": "tomorrow", "avg": "average", "secs": "seconds", "wk": "week", "wks": "weeks", "hols": "holiday",
    "msg": "message", "msgs": "messages", "xcept": "except", "abt": "about", "rn": "now", "didn": "did not", "em": "them", "forgt": "forgot", "forgett": "forgot",
    "everythin": "everything", "ev'thing": "everything", "nothin": "nothing", "no-one": "nobody", "noone": "nobody",
    "til": "till", "'til": "till", "k": "ok", "okay": "ok", "yh": "yes", "y": "yes", "yeh": "yes",
    "yeah": "yes", "yep": "yes", "yup": "yes", "ya": "yes", "aye": "yes", "yas": "yes", "nope": "no", "nah": "no",
    "nay": "no", "excercises": "exercises", "excercise": "exercise", "exersises": "exercises",
    "ppl": "people", "dont": "do not", "sumthing": "something", "wot": "what", "wat": "what", "wen": "when",
    "aw": "all", "ma": "my", "teh": "the", "twa": "two", "oot": "out", "haf": "half",
    "nae": "no", "cannae": "can not", "didnae": "did not", "hingin": "hanging", "cud": "could", "shud": "should", "shld": "should", "cld": "could", "wanted": "want",
}  # fmt: skip

RUN_TOGETHER = frozenset(
    "chest breathe cant numb hand fingers pain did all done sets set none no zero one two three four five six seven eight nine ten"
    " everything skipped today out of".split()
)
SURE_SOUND_ALIKES = frozenset("ate won fore tree fife".split())
JOINS = frozenset("and but though so because as just i it".split())
