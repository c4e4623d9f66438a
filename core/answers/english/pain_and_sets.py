"""How people say pain and sets in English. Order matters only between phrases of equal length."""

from core.answers.lexicon import Phrases, Says

_IDLE: Phrases = (
    # "all", "everything", "half", "most", "done" that count nothing
    "all good|fine|ok|well|right|clear|day|night|week|over|along|in|quiet|morning|afternoon|evening|round|sorts|better",
    "all is|was good|fine|ok|well", "is|are|was|were|am|feels|feel|went|gone|goes|looks all", "it all", "all the time|while|way|best|same", "all going? well", "at all", "after all",
    "first|above|most of all", "that is all", "is that all", "all my life", "all thumbs", "all of a sudden",
    "all that|this|i|you", "everything is? good|fine|ok|well|hurts|else|aches|hurt|sore|right", "everything i",
    "everything about|that|in|from",
    "half an? hour", "half hour", "half the? time|day|night|way", "half asleep|dead", "half past|six|seven|eight #?",
    "most of the time|day|night|morning|afternoon|week", "most days|nights|people|likely", "some time|days|people|one",
    "well done", "done in|my|the|with|for|too|it|a|by|nothing", "have to be done", "be done", "getting it done",
    "lot of work|pain|people", "a bit of|late|busy|tired",
    # "no" and "none" that answer nothing
    "no problem|problems|worries|idea|clue|way|one|doubt|joke|need|rush|thanks|thank|bother|reason|excuse|excuses|sweat",
    "no probs|prob|issue|issues|change|longer|matter|other|big|trouble|drama|stress|kidding|wonder|surprise|point",
    "not no", "none of your", "nothing new|else|special|major|to|much|wrong|unusual|bad|serious|is",
    "no numbness|tingling|swelling|weakness|fever|redness|pins|locking|symptoms",
    "yes but", "yes and no", "oh no",
    # medicine and the words of a programme that hold "pain" or "sets"
    "pain killer|killers|relief|relievers|meds|med|medication|tablet|tablets|pills|patch|clinic|gel|cream|specialist",
    "tv|tool|tea|chess|train sets|set", "set off|up|in|about|back|my|the|off", "sets in|off|me", "hold on|up|it|my|the",
    "on hold", "rounds of", "exercise bike|class|mat|band", "goes on|away|to|up|down|off|numb", "pain goes away|down|up",
    # skipped or forgot something else
    "skipped|missed|forgot|skip ~ breakfast|lunch|dinner|tea|work|gym|bus|train|call|tablets|pills|meds|you|message|"
    "reminder|school|mass|class|meeting|appointment",
    "forgot to ~ say|answer|reply|message|tell|send|write|log|put|mention|text|add|report|let|check|ask|fill",
    "forgot|missed|skipped ~ yesterday|monday|tuesday|wednesday|thursday|friday|saturday|sunday",
    "forgot|missed|skipped last night|week|time", "forgot what|how|who|that|which|when|why", "almost|nearly forgot",
    "did not forget|skip|miss", "do not skip|forget",
    # numbers that were not today's: asked for, aimed at
    "meant|supposed|asked|told|need|needed|have|had|ought|aiming|hoping|planned|trying|going to do #",
    "target|goal|aim|aiming for? is|was #", "will do # ~ tomorrow|later|tonight", "# tomorrow", "# to go|do",
    "# left to do|go", "# more to do|go", "another #", "down|up from a? #", "from a? #", "next # <set>",
    "the other #", "last # <unit>", "past # <unit>", "rest of|day|the",
    "* * #",
)  # fmt: skip

_UNIT: Phrases = (
    "# <unit>", "# <seconds> <set>", "# more|long|whole|full|good|big|little|of|different|extra|hard|odd <unit>",
    "# - # <unit>", "# to|or # <unit>", "# x # <unit>", "<unitbefore> # of? #?", "# : # am|pm|a.m|p.m?",
    "# am|pm|ish-am", "# o ' clock", "half|quarter past|to #", "# past|to # ~ am|pm", "# past #", "# % battery",
    "at # am|pm", "at|by|since|until|till|before|after|around|about # am|pm", "at|by|since|until|till|before|past #", "after # am|pm|ish",
    "at|by|until|till|from|about|around # : #", "woke|woken|up|bed|asleep|awake ~ at|around|about|by|from #",
    "at # on|this|last|in|for work|today|bed|the", "from # to|till|until|- # am|pm", "<set> of #", "# a|per|each day|week",
    "<month> #", "# <month>", "the # of", "# / # / #", "# - # - #", "# . # am|pm", "no # bus", "number # bus",
    "# bus", "# a day", "# and counting", "i am # ~ old", "turned|turn|turning #", "# years|year|yrs old", "on # mg",
    "aged|age #", "covid # ?", "# kids|grandkids|children|dogs|cats|people|patients|customers|clients|cakes|bricks",
    "# - inch|year|hour|day|minute|mile|week", "scored|won|lost|beat # - #", "top #", "channel|bbc #",
)  # fmt: skip

_RANGE: Phrases = (
    "am a? # ,? pm a? #", "# am|pm ,? # am|pm", 
    "# - #", "# to a? #", "# or a? maybe? even? a? #", "between a? # and|to|or|- a? #", "# maybe|perhaps|possibly even? a? #",
    "# , maybe|perhaps|possibly|or even? a? #", "# bordering|verging|going on a? #", "# if not a? #", "# nearly|almost a? #",
    "from a? # to a? #", "# through to? #", "# up to a? #", "# till|until a? #", "# < #", "# - # - #",
    "somewhere between # and #", "either # or #", "# rising|going|creeping|climbing|up|down to a? #",
)  # fmt: skip

_BOUND: Phrases = (
    "less|more|lower|higher|worse|better|greater|bigger|fewer than|then a? #", "over|under|above|below|beyond a? #",
    "just|bit|little|slightly|well over|under|above|below a? #", "at|the least|most|worst|best a? #", "up to a? #",
    "# or more|less|so|above|below|higher|under|over|thereabouts|something|lower|fewer", "# max|maximum|min|minimum|tops|plus",
    "max|maximum|min|minimum|minimally of? a? #", "# +", "+ #", "< #", "> #", "<= #", ">= #", "nearly|almost|approaching a? #",
    "no|not more|less|higher|lower|worse than a? #", "not quite a? #", "close|near to? a? #", "# and a bit|little|third|quarter",
    "# at least|most|the|a least|most|max", "# ~ or ~ more", "upwards of #", "low|high # s|'s",
    "a bit|little|touch more|less|under|over than? a? #", "# and up|over|under|above|below|rising", "not even # ", "minus #",
    "rather more|less than #", "# point something", "could be a? # or",
)  # fmt: skip

_COMPARED: Phrases = (
    "same", "the same", "same again|here|thing|number|score|pain|level", "same as|like ~ <usual>", "same old", "ditto",
    "as|like <usual>", "as usual|always|before|normal|ever", "# ~ <more> than|then|from|on ~ <usual>|<day>",
    "# points? <more>", "# points? <more> than|from|on ~ <usual>|<day>", "<more> by a? #", "<more> a? # points? from ~ <usual>",
    "<more> than|then ~ <usual>|<day>", "no <more>|different|change", "unchanged", "not <more>|different|changed",
    "bit|little|slightly|lot|much|far|way|loads|even <more>", "better", "worse", "improved", "improving", "usual", "the usual",
    "double|twice|half|triple ~ yesterday", "down|up a|by|from ~ point|bit|little|lot|notch|yesterday|couple",
    "<more> like yesterday", "compared|similar to|with ~ yesterday|usual|before", "similar", "similar to yesterday|before|usual",
    "as bad|good|much as ~ <usual>", "same as|like|before|then", "like yesterday", "as yesterday", "less", "higher", "lower",
    "one|1 <more> than ~ <usual>", "change from yesterday|before", "went up|down", "gone up|down", "going up|down",
)  # fmt: skip

_VAGUE_SETS: Phrases = (
    "most", "most of them|it|the|my|those ~ <set>?", "some", "some of them|it|the|my ~ <set>?", "a few", "few", "a couple",
    "couple", "several", "a bit", "part of it|them|the", "bits", "loads", "lots", "plenty", "not many", "not all|everything",
    "not all of? them|it|the ~ <set>?", "did not do|finish|complete|manage|get ~ all|everything|them|it all",
    "did not|could not finish|complete ~ <set>|them|it", "not quite all|everything|done", "as many|much as ~ could|can",
    "almost|nearly|practically|virtually|about|just_about all|everything|done|there|finished|half",
    "pretty much|well all|everything|done", "almost|nearly all of? them|it|the|my|done|finished ~ <set>?",
    "what|whatever i could|can|managed", "my best", "half ish", "about|roughly|around|over|under|maybe|nearly|almost|approx half",
    "more|less than half", "a third|quarter", "two thirds", "three quarters", "bit of|more", "a few of them|the|my ~ <set>?",
    "not yet", "have not ~ yet", "have not done|started|finished ~ yet", "did not do ~ yet", "later", "will do", "am going to do",
    "still have to|need", "half way", "halfway", "partly", "partially", "majority", "the majority", "tried", "started",
    "doing them|it ~ now|later|soon|tonight", "going to do|try", "will ~ later|tomorrow|tonight|soon", "got through some|most",
    "multiple", "enough", "not enough", "too many", "more than enough", "not as many", "only some|half of", "more or less",
    "did too much", "one or two", "# or so", "at least|most half|some|one", "a handful", "handful", "odd one|set", "about to",
)  # fmt: skip

_VAGUE_PAIN: Phrases = (
    "hardly|barely|almost|nearly|virtually|practically|scarcely no|any? pain|discomfort", "not|nothing much|bad|great|terrible",
    "not too|so|very|that|really|particularly bad|good|great|painful|sore|much", "not much pain|discomfort",
    "no real|major|serious|big|bad|significant|extra|more|new|other|additional|severe|huge|lasting|sharp|great|worse pain|discomfort",
    "little|mild|moderate|bad|severe|awful|terrible|horrible|slight|minor|some|lots|more|less|much|any|tiny|constant pain|discomfort",
    "a|the little|bit|lot|mild|slight|dull|minor of? pain|discomfort|ache", "low", "high", "medium", "middling", "manageable",
    "bearable", "meh", "so so", "alright", "fine", "bad", "awful", "terrible", "horrible", "mild", "moderate", "severe",
    "unbearable", "excruciating", "quite|very|really|pretty|bit|little|slightly sore|painful|achy|tender|bad|stiff|high|low",
    "stiff", "tender", "rough", "grim", "not good|great", "nagging", "niggly", "niggle", "twinge", "comfortable", "tolerable",
    "no idea", "not sure", "do not know", "hard to say", "agony", "killing me", "pain gone|is gone", "through the roof",
    "no pain at rest|first|night|present|work|home", "no pain when|while|during|until|till|after|before|except|apart|if",
    "no pain yesterday|earlier|last|this|unless|otherwise|mostly|initially|usually|now", "did not hurt|ache until|when|much|as|too",
    "does not hurt|ache until|when|unless|much|as|too|if|at", "no pain killers", "pain free until|when|at|except|apart|during|now",
    "some", "pain", "without pain", "did ~ without pain", "no pain during|from|with|doing the|my|them|it? <set>?",
)  # fmt: skip

SAYS: dict[Says, Phrases] = {
    Says.IDLE: _IDLE,
    Says.UNIT: _UNIT,
    Says.ELSEWHERE: (
        "<elsewhere>", "<elsewhere> is|was|at|hurts|pain|ache|about", "<elsewhere> pain|ache ~ is|was|at|about",
        "pain|ache|sore|hurts in|on ~ <elsewhere>", "in|on my|the|other <elsewhere>", "no pain|ache in ~ <elsewhere>",
        "mood|stress|tiredness|sleep|energy|fatigue|anxiety|stiffness|motivation|happiness|effort|difficulty|mental",
        "mood|stress|tiredness|sleep|energy|fatigue|anxiety|stiffness|motivation|effort|difficulty is|was|level",
        "temperature", "heart rate", "pulse", "blood pressure", "bp", "weather", "film", "blood sugar", "other elbow|arm",
        "pain|ache in ~ other elbow|arm", "no <elsewhere> pain",
    ),
    Says.NO_PAIN: (
        "no pain|discomfort|ache|aches|pains|soreness|hurt at? all? today?", "no elbow|arm pain|ache", "pain free|less", "painfree",
        "painless", "without any pain|discomfort", "not any pain", "not have any pain|discomfort", "had|have not ~ any pain",
        "did|does not hurt|ache at? all? today?", "is|was not hurting|painful|sore|aching at? all?", "nothing hurts|hurt",
        "no more pain", "not painful|sore|hurting at? all?", "not a twinge", "no elbow pain", "no pain whatsoever|to report|today",
        "no pain in|on my? elbow|arm at? all?", "free of|from pain", "not in any? pain", "feeling no pain", "pain none|nil|nothing|no",
        "pain : none|nil|nothing|no", "none for|of pain", "no pains or aches",
    ),
    Says.PAIN: (
        "pain", "pains", "pain level|score|rating|number|scale", "level", "score", "rating", "sore", "soreness", "ache", "aches",
        "achy", "aching", "hurt", "hurts", "hurting", "discomfort", "elbow", "elbow pain|ache", "pain was|is|about|at|around|still at?",
        "pain is|was|still|today|sits|sat|stayed|stays at a?", "level|score|elbow is|was|about", "hurts|hurt about|at|like a?", "painful",
        "painwise", "pain wise", "pain in my? elbow|arm ~ is|was|at|about", "it|that is|was a? pain", "p", "ouch", "my arm", "pain today",
        "is|was|still|stayed at a?", "i am at a?", "it is at a?", "pain after|during|before all|everything", "out of 10 for pain",
        "average pain", "pain average|on", "pain like|roughly|approx|approximately|around|about|say a?", "feels|felt like a?",
        "pain for today", "pain tonight", "a good|solid|strong|bad|weak|clear|firm",
    ),
    Says.SETS: (
        "<set>", "<set> done|completed|finished|complete|today|managed", "of them|those|these|my|the ~ <set>?", "s", "of my|the",
        "<set> : ", "sets of holds", "set of holds|exercises",
    ),
    Says.DID: (
        "did", "managed", "do", "got through", "got", "i did|managed", "did do", "only did|managed|got", "have done|managed", "got to",
        "can do", "did about|around", "made it to", "stopped|stop|paused|quit|gave_up|finished ~ after|at|on", "stopped", "able to do", "made", "did only|just", "achieved", "did them|it",
    ),
    Says.DONE: (
        "done", "finished", "completed", "complete", "is|are|got|have done|finished|completed", "got it|them done",
        "<set> done|completed|finished|complete|is|are done|finished|complete|completed?", "got <set> done", "i am done", "sorted",
        "did|done|completed|finished my|the|today's|todays ~ programme|program|routine", "ticked off", "in the bag",
        "done for today|tonight|now|the day", "done my|the <set>", "completed|finished my? the? <set>|them|it|routine",
        "and? done dusted", "done and dusted", "done it|them", "got my|the <set> done", "nailed it",
    ),
    Says.ALL: (
        "all", "all done|finished|completed|complete|sorted|ticked", "is|are|was|were|got all done|finished|completed|complete", "all of? them|it|those|the|my|mine <set>? done|finished|completed?",
        "all the? my? <set> done|finished|completed|complete?", "everything", "everything is|was? done|finished|completed|complete",
        "every set|hold|one", "every single one|<set>", "every last one|<set>", "the? whole lot|thing|set|programme|program|routine",
        "the lot", "a? the? full set|house|programme|program|routine|amount|dose|lot|whack|quota|sets|works", "as prescribed|planned|asked",
        "as told|instructed", "did them|it all", "missed|skipped none|nothing", "none missed|skipped", "did not miss|skip any|a|one ~ set?",
        "all exercises|sets|holds", "all today's|todays <set>", "in full", "whole lot", "entire lot|set|programme|routine",
        "got|have|done it|them all done?", "no missed|skipped <set>", "no <set> missed|skipped", "all in one? go",
    ),
    Says.ALL_OF: (
        "all # <set>? done|finished|completed?", "all of? the? my? # <set>?", "all # of them|the|my <set>?", "the full #", "every # of them",
        "full # <set>?", "all # done|finished|completed|complete|today",
    ),
    Says.ALL_BUT: (
        "all|everything of_them? but|except|bar|minus|apart_from|besides|save|except_for|xcept the? last? 1|one|# <set>?",
        "all|everything|did_them_all but|except|bar|minus the last|first|final <set>?", "did|done ~ all|everything ~ but|except|bar the? last? one|#",
        "missed|skipped|forgot|dropped|omitted only|just? out? the? my? last|first|final|1 one|<set>?",
        "missed|skipped|forgot|dropped|omitted only|just? out? the? last|first? # <set>?", "missed|skipped|forgot|dropped one <set>?",
        "one|# short", "one less", "minus one", "not the last one|<set>", "without the last one|<set>",
        "did|could not do|finish|manage|complete the? my? last|final one|<set>", "did|could not do|manage|finish the last",
    ),
    Says.BOTH: ("both", "both <set>? done|completed|finished?", "both of? them|the? <set>?", "did both", "the two of them"),
    Says.MORE_THAN_ALL: (
        "all|everything ~ extra|more|another|bonus one|set|#|1|few|couple", "all|everything|did_all plus|+|and a|an|another? #|one|extra|bonus|more <set>?", "an extra|another one|set|#",
        "one|# extra|more|bonus <set>", "one|# extra|more than ~ asked|prescribed|needed|supposed|planned", "more than ~ asked|prescribed|needed|supposed|planned",
    ),
    Says.HALF: ("half", "half of them|it|the|my <set>?", "half the <set>", "half done", "did half", "half my <set>"),
    Says.NONE: ("none", "nothing", "nowt", "nada", "none at all", "none today", "nothing at all", "nothing today", "not one", "not a thing"),
    Says.NO_SETS: (
        "no <set> today|done|at|tonight? all?", "skipped", "skip", "skipped|skip it|them|today|tonight|all|everything|the|my|both ~ <set>?",
        "missed|forgot ~ <set>", "missed|forgot it|them|today|tonight|all|completely|totally|everything", "missed", "forgot",
        "forgot to do|exercise ~ <set>?|them|it|any", "forgot about it|them|the|my ~ <set>?",
        "did|have|could not do|done|manage|managed|get any|it|them|anything|none|one|a ~ <set>?|at all|done?",
        "did|have|could not do|done|manage|managed ~ <set>", "not done|did any|it|them|anything|a <set>?", "not done", "did not do them|it|any",
        "did|could not", "did not bother|get|manage", "did not bother|get|manage ~ to|round|around|with ~ them|it|any|<set>",
        "did|done none|nothing|nowt|zilch|no", "none done", "no time", "no exercise|training", "not a single one|set|hold", "not any",
        "did none|nothing of them|at|today all?", "zero done", "too tired|busy|sore|late|ill|knackered", "could not face|be ~ it|them|bothered",
        "was not able|unable to ~ do|<set>", "gave it|them a miss", "had to skip|miss", "did not even do|start ~ one|any|them|it", "none of them|it|the|my ~ <set>?",
        "no <set>", "totally|completely|clean|clear forgot", "did no <set>", "did not do a single|thing ~ one|set?", "none did|managed",
        "have not", "skipping today|tonight|it|them", "no i did not", "slipped my mind", "not happening", "did not do my|the|today's|todays ~ <set>?",
    ),
    Says.YES: ("yes", "yes i did|have", "yes did", "i did", "yes sir|indeed|thanks|please"),
    Says.NO: ("no", "no i"),
    Says.OUT_OF: (
        "# of|/ the? my? #", "# out of a? the? #", "# from #", "# over # <set>", "# outta #", "# outa #", "# out #", "# of my|the|a #",
        "# of # <set> done|completed?", "# / # <set>", "# out of # <set>", "# of the # <set>",
    ),
    Says.TIMES: (
        "# x # <unit>?", "# <set> x|of|at|for|with # <unit>?", "# <unit> x #", "# <seconds> <set> x #", "# <set> # <unit> each?", "# x|by # <seconds> <set>",
        "# times # <unit>", "# <unit> by|times #", "# of # <unit>", "# <unit> <set> x|times #", "# <unit> for # <set>", "# * # <unit>?",
        "# of the # <unit> <set>?", "# <set> of|at|for # to|- # <unit>",
    ),
    Says.RANGE: _RANGE,
    Says.BOUND: _BOUND,
    Says.PERCENT: ("# %", "# percent|pc|percentage", "# per cent", "fifty fifty", "100 percent"),
    Says.COMPARED: _COMPARED,
    Says.VAGUE_PAIN: _VAGUE_PAIN,
    Says.VAGUE_SETS: _VAGUE_SETS,
    Says.OTHER_DAY: (
        "yesterday", "yesterday was|it is|evening|morning|night|afternoon", "last night|week|month|time|weekend|year|evening|<day>", "on? <day>",
        "the other day", "day before", "the day before yesterday?", "tomorrow", "days|weeks|months ago", "# days|weeks|months|years|nights ago", "a week ago", "this time last",
        "usually", "normally", "all week", "lately", "this week", "typically", "before that", "in the past", "previously", "weekend", "at the weekend",
        "first week", "when i started", "at the start of|this", "last check in", "since yesterday", "at first", "originally",
    ),
    Says.TODAY: ("today", "today is|was|it is", "today ' s", "so far today"),
    Says.PART: (
        "<moment>", "in the|this|that|early|late|first|by|at|mid|every <moment>", "this|in the <moment> was|is|it is", "first thing", "end of the day", "at|after|during|before|with|for|when|while|doing|on <doing>",
        "at|by the start|end|beginning", "when|while|whenever|during|after|before|afterwards|beforehand|otherwise|with|without|initially", "left", "right", "left|right arm|elbow|hand|side|one",
        "then", "and? then", "before bed", "after work|that", "before and after", "before|during|after|between the? my? <set>", "before|during|after|between doing the? my? <set>?", "on the? left|right", "gripping", "lifting", "resting", "typing", "driving", "working",
        "sometimes", "at times", "occasionally", "on and off", "briefly", "for a bit|while", "peaked|peaking|spiked|spiking|jumped|shot at|to|up ~ to?", "spikes", "at one point", "both arms|elbows",
        "went to|up|down to?", "got to|up to?", "later on", "by the end", "at rest", "am", "pm", "rest",
    ),
    Says.AVERAGE: ("average", "on average", "overall", "in general", "generally", "on the whole", "average|overall pain|of|is|was|about|today", "averaging", "averages", "averaged", "average of about", "mean", "all in all"),
    Says.WORST: ("worst", "at ~ worst", "worst was|of|is|at|pain|bit", "peak", "peak of|was", "best", "at best", "lowest", "highest", "max was", "at it is worst|best"),
    Says.CHANGE: (
        "sorry", "wait", "wrong", "no it is", "hang on", "hold on", "let me see|think", "i tell a lie", "tell a lie", "or rather", "rather", "no sorry", "sorry no", "nope", "hmm", "erm no", "oh no", "no no", "scratch that",
        "well", "no hang|hold on", "no it is|was", "err", "uh no",
    ),
    Says.DECIDES: ("ok", "lets|let_us say|go|call", "lets|let_us go with|for", "call it a?", "go|going with|for", "say", "probably", "more like", "definitely", "settle on"),
    Says.REPAIR: (
        "i? mean|meant a?", "meant to say|put|write|type|be|send|press a?", "sorry i? mean|meant", "no i mean|meant", "no wait", "wait no", "actually", "no actually", "actually it is|was", "correction", "make that|it a?", "should be|read|say a?", "should have been|said|put a?", "my mistake|bad",
        "oops", "whoops", "woops", "typo", "mistyped", "* #", "edit", "it was actually", "was actually", "is actually", "change ~ to", "i meant", "wrong number|answer|one|button", "that is|was wrong", "supposed to be|say", "was supposed to be", "fat fingers|finger",
        "mistake", "made a mistake", "by mistake", "# * ", "it was really", "correct that to", "correct it to", "changed my mind", "on second thoughts|thought", "pressed wrong", "amend ~ to",
    ),
    Says.NOT: ("not a? #", "instead of a? #", "rather than a? #", "never a? #", "was|is not a? #", "ignore|forget ~ #"),
    Says.EARLIER: (
        "<said>", "i <said>", "<said> you", "i <said> pain|did|i_did|it_was|it|that|was|down a?", "i have? <said> you?", "my last|first|earlier|previous ~ was|is|said",
        "earlier i <said> you?", "before i <said>", "i <said> earlier|before",
    ),
    Says.PAIN_WRONG: ("pain ~~ wrong|mistake|incorrect", "wrong pain ~ number|score", "wrong ~ for|about pain", "got|put|gave ~ pain wrong", "correct|change|fix|edit|amend|update my|the pain"),
    Says.SETS_WRONG: ("<set> ~~ wrong|mistake|incorrect", "wrong <set>", "wrong number|amount of <set>", "got|put|gave ~ <set> wrong", "correct|change|fix|edit|amend|update my|the <set>"),
}  # fmt: skip
