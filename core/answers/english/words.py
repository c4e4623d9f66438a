"""English number words, short forms, units, and the word classes that phrases name."""

_SMALL = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
         "ninety": 90, "hundred": 100}  # fmt: skip
_SLIPS = {"fou": 4, "fve": 5, "sevn": 7, "eigt": 8, "thre": 3, "fuor": 4, "foru": 4, "tow": 2, "siz": 6, "sx": 6,
          "ziro": 0, "fiv": 5, "nin": 9}  # fmt: skip

NUMBER_WORDS = {
    **{word: value for value, word in enumerate(_SMALL.split())},
    "seventeen": 17, "eighteen": 18, "nineteen": 19, "nil": 0, "nought": 0, "naught": 0, "zilch": 0, "nul": 0,
    **_TENS,
    **_SLIPS,
}  # fmt: skip
TENS = frozenset(_TENS)
AND_A_HALF = (("and", "a", "half"), ("and", "half"), ("n", "a", "half"), ("1", "/", "2"))

BEFORE_PRONOUN = frozenset(
    "the this that last each every no any which other another hard bad good easy new big first second third"
    " some extra".split()
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
    "iv": "i have", "thats": "that is", "whats": "what is", "everythings": "everything is", "theres": "there is",
    "hes": "he is", "shes": "she is", "wanna": "want to", "gonna": "going to", "gotta": "have to", "u": "you",
    "ur": "your", "pls": "please", "plz": "please", "n": "and", "nd": "and", "w/o": "without", "thx": "thanks",
    "cuz": "because", "coz": "because", "cos": "because", "anymore": "any more", "tonite": "tonight",
    "evry": "every", "yday": "yesterday", "yest": "yesterday", "ystrday": "yesterday", "tmrw": "tomorrow",
    "tomoz": "tomorrow", "avg": "average", "secs": "seconds", "wk": "week", "wks": "weeks", "hols": "holiday",
    "msg": "message", "msgs": "messages", "xcept": "except", "abt": "about", "rn": "now", "didn": "did not", "forgt": "forgot", "forgett": "forgot",
    "everythin": "everything", "ev'thing": "everything", "nothin": "nothing", "no-one": "nobody", "noone": "nobody",
    "til": "till", "'til": "till", "k": "ok", "okay": "ok", "yh": "yes", "ye": "yes", "y": "yes", "yeh": "yes",
    "yeah": "yes", "yep": "yes", "yup": "yes", "ya": "yes", "aye": "yes", "yas": "yes", "nope": "no", "nah": "no",
    "na": "no", "nay": "no", "excercises": "exercises", "excercise": "exercise", "exersises": "exercises",
    "ppl": "people", "dont": "do not", "sumthing": "something", "wot": "what", "wat": "what", "wen": "when",
    "cud": "could", "shud": "should", "shld": "should", "cld": "could", "wanted": "want",
}  # fmt: skip

RUN_TOGETHER = frozenset(
    "pain did all done sets set none no zero one two three four five six seven eight nine ten"
    " everything skipped today out of".split()
)


def _class(words: str) -> frozenset[str]:
    return frozenset(words.split())


CLASSES = {
    "day": _class("monday tuesday wednesday thursday friday saturday sunday mon tues tue wed thurs thu fri sat sun"),
    "month": _class("january february march april june july august september october november december"
                    " jan feb mar apr jun jul aug sept sep oct nov dec"),
    "limb": _class("hand hands finger fingers fingertips fingertip thumb thumbs arm arms forearm wrist wrists elbow"
                   " elbows pinky knuckles palm"),
    "joint": _class("elbow elbows joint arm skin forearm it wrist hand"),
    "elsewhere": _class("shoulder shoulders knee knees back neck head hip hips ankle ankles foot feet leg legs tooth"
                        " teeth wrist wrists thumb headache stomach belly ear throat toe toes jaw heel calf migraine"),
    "set": _class("set sets hold holds round rounds exercise exercises lowerings goes lots bouts stets holding"),
    "seconds": _class("second seconds sec"),
    "unit": _class("second seconds sec minute minutes min mins hour hours hr hrs day days night nights week weeks"
                   " month months year years yr yrs fortnight rep reps repetition repetitions repeats repeat kg kgs kilo"
                   " kilos kilogram kilograms lb lbs pound pounds gram grams ml litre litres oz stone mg mcg tablet"
                   " tablets pill pills paracetamol paracetamols ibuprofen ibuprofens nurofen capsule capsules aspirin"
                   " painkiller painkillers codeine tab tabs times o'clock oclock am pm a.m p.m degrees mile miles km"
                   " kms metres steps pint pints beer beers coffee coffees cup cups glass glasses finger fingers people"
                   " kids children years'old floors flights stairs emails meetings percent% hourly quid euros dollars"
                   " messages patients customers clients boxes bags bricks cakes rows pages reminders dogs cats"
                   " grandkids points point sleeps ll cm mm inch inches puffs sprays appointments sessions games"
                   " matches holes lengths laps songs lifts curls squats pushups drinks wines teas meals am's"),
    "unitbefore": _class("week weak day room bus age aged step stage phase session visit page channel line flight platform"
                          " route road junction size number version chapter gate ward bay month year floor lane"
                          " turning flat apartment house zone tram train aisle season episode series form grade"),
    "pill": _class("tablet tablets pill pills paracetamol paracetamols ibuprofen ibuprofens nurofen capsule capsules"
                   " aspirin aspirins painkiller painkillers codeine tab tabs tramadol naproxen cocodamol meds"
                   " medication medicine morphine diazepam sleeping acetaminophen diclofenac"),
    "thing": _class("cup cups mug mugs pen pan kettle anything things thing plate plates phone handle door key keys"
                    " bottle jar bag"),
    "treatment": _class("injection injections steroid cortisone jab shockwave acupuncture surgery operation massage ice heat"
                        " brace strap strapping splint support tape taping physio physiotherapy cupping prp laser ultrasound"
                        " mri scan xray needling tens cbd cream gel voltarol sling osteopath chiropractor heating hot cold"
                        " stretches stretching supplements collagen turmeric yoga swimming antibiotics antibiotic"),
    "dose": _class("tablet tablets pill pills mg dose doses can should take"),
    "self": _class("myself meself myself"),
    "more": _class("more less better worse higher lower up down fewer"),
    "usual": _class("yesterday before usual always normal ever last earlier previous"),
    "moment": _class("morning afternoon evening tonight night noon midday lunchtime lunch earlier later now overnight"
                     " bedtime mornings evenings nights afternoons mostly"),
    "doing": _class("gripping lifting typing working driving resting sitting rest work home gym sport tennis gardening"
                    " cooking cleaning carrying hoovering lying stretching writing bed shopping housework desk moving"
                    " sleeping painting playing grip activity use using"),
    "said": _class("said put typed wrote sent entered told answered gave pressed tapped hit clicked texted replied"
                   " selected chose picked"),
}  # fmt: skip
