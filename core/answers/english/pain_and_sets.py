"""How people say pain and sets."""

from core.answers.lexicon import Says, phrases

_PAIN = phrases(
    """
    pain ; pains ; pain level|score|rating|number|scale ; level ; score ; rating ; sore ; soreness ; ache
    aches ; achy ; aching ; hurt ; hurts ; hurting ; discomfort ; elbow ; elbow pain|ache
    pain was|is|about|at|around|still at? ; pain is|was|still|today|sits|sat|stayed|stays at a?
    level|score|elbow is|was|about ; hurts|hurt about|at|like a? ; painful ; painwise ; pain wise
    pain in my? elbow|arm ~ is|was|at|about ; it|that is|was a? pain ; p ; ouch ; pain today
    is|was|still|stayed at a? ; i am at a? ; it is at a? ; pain after|during|before all|everything
    out of 10 for pain ; average pain ; pain average|on
    pain like|roughly|approx|approximately|around|about|say a? ; feels|felt like a? ; pain for today
    for|on|in the|my? pain ; of pain ; pain tonight ; a good|solid|strong|bad|weak|clear|firm
    put|rate|score it|this|that|the_pain|pain at a? ; would put at a? ; pain stood|stands|hovered at a?
    pain is|was? number ; pain i would put at a? ; put the? pain at a?
    """
)

_SETS = phrases(
    """
    <set> ; <set> done|completed|finished|complete|today|managed ; of them|those|these|it <set>?
    of my|the ~ <set> ; s ; <set> : ; sets of holds ; set of holds|exercises
    """
)

_DID = phrases(
    """
    did ; managed ; do ; got through ; got ; did do ; only did|managed|got
    have done|managed ; got to ; can do ; made it to
    stopped|stop|paused|quit|gave_up|finished ~ after|at|on ; stopped ; able to do ; made ; did only|just
    achieved ; did them|it
    """
)

_NO_PAIN = phrases(
    """
    no pain|discomfort|ache|aches|pains|soreness|hurt at? all? today? ; no elbow|arm pain|ache
    pain free|less ; painfree ; painless ; without any pain|discomfort ; not any pain
    not have any pain|discomfort ; had|have not ~ any pain ; did|does not hurt|ache at? all? today?
    is|was not hurting|painful|sore|aching at? all? ; nothing hurts|hurt ; no more pain
    not painful|sore|hurting at? all? ; not a twinge ; no elbow pain ; no pain whatsoever|to report|today
    no pain in|on my? elbow|arm at? all? ; free of|from pain ; not in any? pain ; feeling no pain
    pain none|nil|nothing|no ; pain : none|nil|nothing|no ; none for|of pain ; nothing for pain
    pain is|was none|nothing|nil ; no pains or aches
    """
)

_ALL = phrases(
    """
    ^ all $ ; ^ all is it|this|that ; all done|finished|completed|complete|sorted|ticked
    is|are|was|were|got all done|finished|completed|complete
    all of? them|it|those <set>? done|finished|completed?
    all of? the|my|these|today's? <set> done|finished|completed|complete?
    ^ everything $ ; everything on the list|plan|sheet
    everything is|was? done|finished|completed|complete ; every set|hold|one ; every single one|<set>
    every last one|<set> ; the? whole lot|thing|set|programme|program|routine ; the lot
    a? the? full set|house|programme|program|routine|amount|dose|lot|whack|quota|sets|works
    as prescribed|planned|asked ; as told|instructed ; did them|it all ; missed|skipped none|nothing
    none missed|skipped ; did not miss|skip any|a|one ~ set? ; all exercises|sets|holds
    all today's|todays <set> ; in full ; whole lot ; entire lot|set|programme|routine
    got|have|done it|them all done? ; no missed|skipped <set> ; no <set> missed|skipped
    all in one? go|in # ; all # <unit> ago|later? ; did all # <unit>
    every sets|holds ; made|make everything ; none|nothing left to do|go ; no <set> left|outstanding|remaining
    """
)

_DONE = phrases(
    """
    done ; finished ; completed ; complete ; is|are|got|have done|finished|completed ; got it|them done
    <set> done|completed|finished|complete|is|are done|finished|complete|completed? ; got <set> done
    i am done ; sorted ; did|done|completed|finished my|the|today's|todays ~ programme|program|routine
    ticked off ; in the bag ; done for today|tonight|now|the day ; done my|the <set>
    completed|finished my? the? <set>|them|it|routine ; and? done dusted ; done and dusted ; done it|them
    got my|the <set> done ; nailed it ; did|done|worked|exercised|trained both|each arms|arm|sides|side|elbows|hands
    """
)

_ALL_OF = phrases(
    """
    all # <set>? done|finished|completed? ; all of? the? my? # <set>? ; all # of them|the|my <set>?
    the full # ; every # of them ; full # <set>? ; all # done|finished|completed|complete|today
    """
)

_ALL_BUT = phrases(
    """
    all|everything of_them? but|except|bar|minus|apart_from|besides|save|except_for|xcept the? last? 1|
        one|# <set>?
    all|everything|did_them_all but|except|bar|minus the last|first|final <set>?
    did|done ~ all|everything ~ but|except|bar the? last? one|#
    missed|skipped|forgot|dropped|omitted only|just? out? the? my? last|first|final|1 one|<set>?
    missed|skipped|forgot|dropped|omitted only|just? out? the? my? last|first|other|final|second|remaining? # <set>?
    not|never did|done? the? last|first|other|final|remaining #
    did|could|have not do|done|finish|manage|complete the? last|first|other|final|remaining #
    missed|skipped|forgot|dropped one <set>? ; one|# short ; one less ; minus one ; not the last one|<set>
    without the last one|<set> ; did|could not do|finish|manage|complete the? my? last|final one|<set>
    did|could not do|manage|finish the last
    missed|skipped|forgot|dropped a <set> ; all|everything but won ; mist one|a <set>
    """
)

_SHARE = phrases(
    """
    the? my? first|other|last|remaining|final|second # <set>?
    """
)

_BOTH = phrases(
    """
    both ; both <set>? done|completed|finished? ; both of? them|the? <set>? ; did both ; the two of them
    """
)

_MORE_THAN_ALL = phrases(
    """
    all ~ twice|thrice ; everything|them|sets ~ twice|thrice ; twice through ; did|done ~ all twice|thrice ; did|done them ~ twice
    all|everything ~ extra|more|another|bonus one|set|#|1|few|couple
    all|everything|did_all plus|+|and a|an|another? #|one|extra|bonus|more <set>?
    an extra|another one|set|# ; one|# extra|more|bonus <set>
    one|# extra|more than ~ asked|prescribed|needed|supposed|planned
    more than ~ asked|prescribed|needed|supposed|planned
    """
)

_HALF = phrases(
    """
    half $ ; half of? them|it ; half of? the|my <set> ; half the <set> ; half done ; did half
    half my <set>
    """
)

_NONE = phrases(
    """
    none ; nothing $ ; nowt $ ; nada ; none at all ; none today ; nothing at all ; nothing today ; not one
    not a thing ; did|i|had|was|is nothing $
    """
)

_NO_SETS = phrases(
    """
    no <set> today|done|at|tonight? all? ; no exercise|training|time ; skipped|missed|forgot
    ^ skip|skipping $
    skipped|skip|skipping|missed it|them|today|tonight|all|everything|both|the_lot
    skipped|skip|skipping ~ <set>
    forgot it|them|today|tonight|all|completely|totally|everything ; missed|forgot ~ <set>
    the sets i? skipped|missed|forgot ; the sets were|are ~ forgotten|skipped|missed ; forget the|my|to ~ <set> ; forgot about it|them|the|my ~ <set>?
    forgot to ~ do|exercise ~ <set>?|them|it|any ; totally|completely|clean|clear forgot ; slipped my mind
    had to skip|miss
    did|have|could|had|was|do not ~ do|done|manage|managed|get|able ~ it|them|none|<set> at? all?
    did|have|could|had|was|do not ~ do|done|manage|managed|get|able ~ any|anything $
    did|have|could|had|was|do not ~ do|done|manage|managed|get|able ~ any|anything <set>
    did|have|could not it|them|one at? all? ; did|have|could not any|anything $ ; not today|tonight $
    did|could|have not !|at_all|i|either|just|as|this_time|in ; did not bother|get|manage !|at_all|i|just|as|this_time
    did not even ~ one|any|them|it
    did not bother|get ~ to|round|around|with ~ them|it|any|<set>
    not done|did it|them|a <set>? ; not done|did any|anything $ ; not done|did any|anything <set> ; not done
    did|done none|nothing|nowt|zilch|no ; did|done none|nothing|nowt|zilch of them|at|today all?
    none done|did|managed
    did|done|managed no|zero <set> ; not a single one|<set> ; none of them|it|the|my ~ <set>?
    not any <set>? ; no <set> ; no i did not
    too tired|busy|sore|late|ill|knackered ; could not face|be ~ it|them|bothered ; was not able
    gave it|them a miss ; not happening
    doing nowt|nothing ; not did ; not did ~ <set>|any|it|them ; never did|done any|the|my|them ; never did|done any of the|my <set>
    forgot|missed|skipped every one|<set> of? them? ; did none of the|my|them <set>?
    """
)

_YES = phrases(
    """
    ^ ye ; yes ; yes i did|have ; yes did ; yes sir|indeed|thanks|please
    """
)

_NO = phrases(
    """
    no ; no i
    """
)

_OUT_OF = phrases(
    """
    # of|/ the? my? # ; # out of a? the? # ; # over # <set> ; # outta # ; # outa # ; # out #
    # of my|the|a # ; # of # <set> done|completed? ; # / # <set> ; # out of # <set> ; # of the # <set>
    # <set> out of|o the? my? # ; # out o # ; # from the? # <set> ; # <set> from #
    """
)

_TIMES = phrases(
    """
    # x # <unit>? ; # <unit> x # ; # <seconds> <set> x #
    # <set> # <unit> each? ; # x|by # <seconds> <set> ; # times # <unit> ; # <unit> by|times #
    # of # <unit> ; # <unit> <set> x|times # ; # <unit> for # <set> ; # * # <unit>?
    # of the # <unit> <set>? ; # <set> of|at|for # to|- # <unit>
    """
)

_SETS_OF = phrases(
    """
    # <set> x|of|at|for|with # <unit>? ; # <set> in|off
    # <set>? done? a|each|per|every|on_each|for_each|with_each|on_both|for_both|with_both|both <arm>
    """
)

SAYS = {
    Says.PAIN: _PAIN,
    Says.SETS: _SETS,
    Says.DID: _DID,
    Says.NO_PAIN: _NO_PAIN,
    Says.ALL: _ALL,
    Says.DONE: _DONE,
    Says.ALL_OF: _ALL_OF,
    Says.ALL_BUT: _ALL_BUT,
    Says.SHARE: _SHARE,
    Says.BOTH: _BOTH,
    Says.MORE_THAN_ALL: _MORE_THAN_ALL,
    Says.HALF: _HALF,
    Says.NONE: _NONE,
    Says.NO_SETS: _NO_SETS,
    Says.YES: _YES,
    Says.NO: _NO,
    Says.OUT_OF: _OUT_OF,
    Says.SETS_OF: _SETS_OF,
    Says.TIMES: _TIMES,
}
