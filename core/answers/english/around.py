"""What stands around an answer: other things that are counted, other days, parts of the day, changes of mind."""

from core.answers.lexicon import Says, phrases

_IDLE = phrases(
    """
    all good|fine|ok|well|right|clear|day|night|week|over|along|quiet|morning|afternoon|evening|round|sorts|better
    all is|was good|fine|ok|well ; is|are|was|were|am|feels|feel|went|gone|goes|looks all ; it all
    all the time|while|way|best|same ; all going? well ; at all ; after all ; first|above|most of all
    that is all ; is that all ; all my life ; all thumbs ; all of a sudden ; all that|this|i|you
    everything is? good|fine|ok|well|hurts|else|aches|hurt|sore|right ; everything i
    everything about|that|in|from ; half an? hour ; half hour ; half the? time|day|night|way
    half asleep|dead ; half past ; most of the time|day|night|morning|afternoon|week
    most days|nights|people|likely ; some time|days|people|one ; well done
    done in|my|the|with|for|too|it|a|by|nothing ; have to be done ; be done ; getting it done
    lot of work|pain|people ; a bit of|late|busy|tired
    no problem|problems|worries|idea|clue|way|one|doubt|joke|need|rush|thanks|thank|bother|reason|excuse|excuses|sweat
    no probs|prob|issue|issues|change|longer|matter|other|big|trouble|drama|stress|kidding|wonder|surprise|point
    not no ; none of your ; nothing new|else|special|major|to|much|wrong|unusual|bad|serious|is
    numbness|tingling|weakness|swelling|fever|redness|clicking -|: none|no|nil|nothing ; no clicking|clicks|locking nothing?
    no numbness|tingling|swelling|weakness|fever|redness|pins|locking|symptoms ; yes but ; yes and no
    oh no
    pain killer|killers|relief|relievers|meds|med|medication|tablet|tablets|pills|patch|clinic|gel|cream|specialist
    tv|tool|tea|chess|train sets|set ; set off|up|in|about|back|my|the|off ; sets in|off|me
    hold on|up|it|my|the ; on hold ; rounds of ; exercise bike|class|mat|band
    goes on|away|to|up|down|off|numb ; pain goes away|down|up
    skipped|missed|forgot|skip ~ breakfast|lunch|dinner|tea|work|gym|bus|train|call|tablets|pills|meds|you|message|reminder|school|mass|class|meeting|appointment
    forgot to ~ say|answer|reply|message|tell|send|write|log|put|mention|text|add|report|let|check|ask|fill
    forgot|missed|skipped ~ yesterday|monday|tuesday|wednesday|thursday|friday|saturday|sunday
    forgot|missed|skipped last night|week|time ; forgot what|how|who|that|which|when|why
    almost|nearly forgot ; did not forget|skip|miss ; do not skip|forget
    meant|supposed|asked|told|need|needed|have|had|ought|aiming|hoping|planned|trying|going to do #
    target|goal|aim|aiming for? is|was # ; will do # ~ tomorrow|later|tonight ; # tomorrow ; # to go|do
    # left to do|go ; # more to do|go ; another # ; down|up from a? #
    from a? # yesterday|before|last|earlier ; from a? # ; from a? # yesterday|before|last|earlier
    next # <set>
    i am done with|in ; last # <unit> ; past # <unit> ; rest of|day|the
    not too late ; have|had not any fever|swelling|numbness|tingling|weakness|redness|clicking|symptoms
    cream|gel|tablets|tablet|ibuprofen|ice|heat|brace did|does not do|help ~ much|anything|lot ; wrote|written it down
    none|nothing left $ ; did|have not ~ do|done anything|much else|other ; the? my? first|last|next|other|second # <unit>
    taking|take|took|takes|taken|bringing|buying|bought|sold|ate|eaten|eating|carrying|cleaning|moving|lost the? whole? lot
    the lot to the ; the lot off|away|out|down ; band|bands|resistance|tension # ; level|colour # band ; # band|bands
    lovely|nice|stop and all ; being done ; done up ; this is nothing ; none for the road ; dropped|lost # stone|kilos|pounds|kg
    """
)

_UNIT = phrases(
    """
    # <unit> ; up|down to # <unit> ; at least # <unit> ; nearly|almost|over|under|about|just # <unit> ; # <seconds> <set> ; # more|long|whole|full|good|big|little|of|different|extra|hard|odd <unit>
    # - # <unit> ; # to|or # <unit> ; <unitbefore> # of? #? ; # : # am|pm|a.m|p.m? ; # am|pm|ish-am
    # o ' clock ; half past? # ; at half # ; quarter past|to # ; # past|to # ~ am|pm ; # past #
    # % battery ; at # am|pm ; at|by|since|until|till|before|after|around|about # am|pm
    at|by|since|until|till|before|past # ; after # am|pm|ish ; at|by|until|till|from|about|around # : #
    woke|woken|up|bed|asleep|awake ~ at|around|about|by|from # ; at # on|this|last|in|for work|today|bed|the
    from # to|till|until|- # am|pm ; <set> of # ; # a|per|each day|week ; <month> # ; # <month> ; the # of
    # / # / # ; # - # - # ; # . # am|pm ; no # bus ; number # bus ; # bus ; # a day ; # and counting
    i am # ~ old ; turned|turn|turning # ; # years|year|yrs old ; on # mg ; aged|age # ; when i was # ; covid # ?
    # kids|grandkids|children|dogs|cats|people|patients|customers|clients|cakes|bricks
    # - inch|year|hour|day|minute|mile|week ; scored|won|lost|beat # - # ; top # ; channel|bbc #
    # of us ; # else ; # i leave|left ; finished|started|stopped|left work|shift|school ~ at # ; number # bus
    # arm|leg|hand and
    """
)

_ELSEWHERE = phrases(
    """
    <elsewhere> ; <elsewhere> is|was|at|hurts|pain|ache|about ; <elsewhere> pain|ache ~ is|was|at|about
    pain|ache|sore|hurts in|on ~ <elsewhere> ; in|on my|the|other <elsewhere>
    no pain|ache in ~ <elsewhere>
    mood|stress|tiredness|sleep|energy|fatigue|anxiety|stiffness|motivation|happiness|effort|difficulty|mental
    mood|stress|tiredness|sleep|energy|fatigue|anxiety|stiffness|motivation|effort|difficulty is|was|level
    temperature ; heart rate ; pulse ; blood pressure ; bp ; weather ; film ; blood sugar ; other elbow|arm
    pain|ache in ~ other elbow|arm ; no <elsewhere> pain
    chest pain|ache ; chest pain|ache is|was
    """
)

_OTHER_DAY = phrases(
    """
    yesterday ; yesterday was|it is|evening|morning|night|afternoon
    last night|week|month|time|weekend|year|evening|<day> ; on? <day> ; the other day ; day before
    the day before yesterday? ; tomorrow ; days|weeks|months ago ; # days|weeks|months|years|nights ago
    a week ago ; this time last ; usually ; normally ; all week ; lately ; this week ; typically
    before that ; in the past ; previously ; weekend ; at the weekend ; first week ; when i started
    at the start of|this ; last check in ; since yesterday ; at first ; originally
    """
)

_TODAY = phrases(
    """
    today ; today is|was|it is ; today ' s ; so far today
    """
)

_PART = phrases(
    """
    <moment> ; in the|this|that|early|late|first|by|at|mid|every <moment>
    this|in the <moment> was|is|it is ; first thing ; end of the day
    at|after|during|before|with|for|when|while|doing|on <doing> ; at|by the start|end|beginning
    when|while|whenever|during|after|before|afterwards|beforehand|otherwise|with|without|initially
    then ; and? then ; before bed ; after work|that
    before and after ; before|during|after|between the? my? <set>
    before|during|after|between doing the? my? <set>? ; gripping ; lifting ; resting
    typing ; driving ; working ; sometimes ; at times ; occasionally ; on and off ; briefly
    for a bit|while ; peaked|peaking|spiked|spiking|jumped|shot at|to|up ~ to? ; spikes ; at one point
    both arms|elbows ; went to|up|down to? ; got to|up to? ; later on ; by the end ; at rest ; am ; pm
    rest
    """
)

_SIDE = phrases(
    """
    left|right ; left|right arm|elbow|hand|side|one ; on|with|for the? my? left|right arm|elbow|hand|side|one?
    """
)

_AVERAGE = phrases(
    """
    average ; on average ; overall ; in general ; generally ; on the whole
    average|overall pain|of|is|was|about|today ; averaging ; averages ; averaged ; average of about ; mean
    all in all
    """
)

_WORST = phrases(
    """
    worst ; at ~ worst ; worst was|of|is|at|pain|bit ; peak ; peak of|was ; best ; at best ; lowest
    highest ; max was ; at it is worst|best
    """
)

_CHANGE = phrases(
    """
    sorry ; wait ; wrong ; no it is ; hang on ; hold on ; let me see|think ; i tell a lie ; tell a lie
    or rather ; rather ; no sorry ; sorry no ; nope ; hmm ; erm no ; oh no ; no no ; scratch that ; well
    no hang|hold on ; no it is|was ; err ; uh no
    """
)

_REPAIR = phrases(
    """
    i? mean|meant a? ; meant to say|put|write|type|be|send|press a? ; sorry i? mean|meant ; no i mean|meant
    no wait ; wait no ; actually ; no actually ; actually it is|was ; correction ; make that|it a?
    should be|read|say a? ; should have been|said|put a? ; my mistake|bad ; oops ; whoops ; woops ; typo
    mistyped ; * ; edit ; it was actually ; was actually ; is actually ; change ~ to ; i meant
    wrong number|answer|one|button ; that is|was wrong ; supposed to be|say ; was supposed to be
    fat fingers|finger ; mistake ; made a mistake ; by mistake ; it was really ; correct that to
    correct it to ; changed my mind ; on second thoughts|thought ; pressed wrong ; amend ~ to
    """
)

_EARLIER = phrases(
    """
    <said> ; i <said> ; <said> you ; i <said> pain|did|i_did|it_was|it|that|was|down a?
    i have? <said> you? ; my last|first|earlier|previous ~ was|is|said ; earlier i <said> you?
    before i <said> ; i <said> earlier|before
    """
)

_PAIN_WRONG = phrases(
    """
    pain ~~ wrong|mistake|incorrect ; wrong pain ~ number|score ; wrong ~ for|about pain
    got|put|gave ~ pain wrong ; correct|change|fix|edit|amend|update my|the pain
    change|changing ~ pain ~ from # to
    """
)

_SETS_WRONG = phrases(
    """
    <set> ~~ wrong|mistake|incorrect ; wrong <set> ; wrong number|amount of <set>
    got|put|gave ~ <set> wrong ; correct|change|fix|edit|amend|update my|the <set>
    change|changing ~ <set> ~ from # to
    """
)

_NOT = phrases(
    """
    not a? # ; instead of a? # ; rather than a? # ; never a? # ; was|is not a? # ; ignore|forget ~ #
    """
)

SAYS = {
    Says.IDLE: _IDLE,
    Says.UNIT: _UNIT,
    Says.ELSEWHERE: _ELSEWHERE,
    Says.OTHER_DAY: _OTHER_DAY,
    Says.TODAY: _TODAY,
    Says.PART: _PART,
    Says.SIDE: _SIDE,
    Says.AVERAGE: _AVERAGE,
    Says.WORST: _WORST,
    Says.CHANGE: _CHANGE,
    Says.REPAIR: _REPAIR,
    Says.EARLIER: _EARLIER,
    Says.PAIN_WRONG: _PAIN_WRONG,
    Says.SETS_WRONG: _SETS_WRONG,
    Says.NOT: _NOT,
}
