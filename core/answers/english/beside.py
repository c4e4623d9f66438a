"""A weight told as used, and a morning told to be worse than before the sets."""

from core.answers.lexicon import phrases
from core.answers.scope import Weights
from core.model import Wish

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


_STOP = phrases(
    """
    stop|quit|cease ~ <sends> ~ me? ; stop|cancel|end ~ <message>
    stop this|these|them please|now|altogether|thing
    unsubscribe|unsubscribed|deactivate ; opt|opting out ; leave me alone|be ; go away ; please stop $
    stop please ; stop it please|now
    quit|leave|exit|cancel|drop|withdraw|withdrawing|leaving|quitting ~ this|the|my|from ~ <message>|
        study|scheme|course|plan|it|list|group
    quit|leave|exit|cancel|withdraw from? this|it|everything $ ; end this ~ <message>|study
    want|like|wish|going|decided to stop|quit|leave|withdraw|cancel ~ <message>|altogether|this|it|please|
        now|using|taking|$
    no more|further <message>
    do|will not message|text|contact|write|ask|remind|send|bother ~ me|this|any|again|<message>|anything
    not want ~ <message>|messaged|texted ~ any? ; not want to ~ do|be this|part|in ~ <message>|study
    not need ~ <message> ~ any|anymore
    remove|delete|take|get ~ me|my|account|number ~ off|from|list|account|number|data|details|profile
    remove me
    i am out ;  ; i quit ; sign me off|out ; count me out
    no longer want|wish|need ~ <message>|this|to ; had enough of ~ <message>
    done with this|the|these|your ~ <message>|thing ; not interested any|anymore|in
    finish|finished with ~ <message>
    turn|switch ~ off ~ <message>|this|it ; shut up ; never message|text|contact me ; get lost
    bugger|piss off ; lose my number ; block you
    send me no ~ <message>
    """
)
_PAUSE = phrases(
    """
    pause ~ <message>|this|it|me|everything|please|until|till|now|us|things|checkins ; please pause
    pausing ~ until|till|for|this|messages ; pause ~ for ~ <span>|now|few|couple|holiday ; pause ~ for ~ # <span>
    paused please
    want|need|like|can|could to? we|i|you? to? pause ; put ~~ on hold ; put on pause ; on pause
    snooze|suspend
    going|off|go|flying|away|jetting on|to|for ~ holiday|vacation|holidays|hols|honeymoon|trip|leave
    on holiday|vacation|leave|holidays ~ until|till|next|from|for|tomorrow|this|back|#
    holiday|vacation|holidays ~~ until|till|from|next|tomorrow|starts|back
    away ~ until|till|next|tomorrow|this|on ; away ~ all week|weekend|month|summer ; away ~ # <span>|night|nights
    away ~ for|from a|#|the|two|few|tomorrow|next|<day>|work_for ; i|we|be|am|are|will|going away $
    out of office|town|country ~ until|till|next|for|from
    back ~ on|in|next ~ <day>|week|month|fortnight|weeks|<month> ; back ~ in # <span> ; back ~ on # ; back <day>
    back|resume|restart|again ~ after ~ holiday|trip|op|operation|surgery
    take|taking|have|having|need|want|like a ~ break ~ until|till|week|please|<message>
    take|taking|have|having|need|want|like a ~ break ~ from ~ <message>|this|it|you|these|everything|all
    take|taking|have|having|need|want|like a ~ break ~ for ~ <span>|now|few|couple ; break ~ for ~ # <span>
    a break from ~ <message>|this|it|you
    no|skip|stop|hold|suspend|do_not|can_you_not ~~ <message>|message|text|ask|send|me|<sends> ~~ until|till
    no|skip|stop|hold|suspend|do_not|can_you_not ~~ <message>|message|text|ask|send|me|
        <sends> ~~ for ~ <span>|now|#
    no|skip|stop|hold|suspend|do_not|can_you_not ~~ <message>|message|text|ask|send|me|<sends> ~~ this|
        next|over|during ~ <span>|holiday|christmas
    leave me alone until|till|for ; leave|give me|it ~ until|till|for ~ <day>|<span>
    give me a ~ <span> ~ off? ; wait until|till ~ <day>|back|week
    resume|restart ~ on|in|next|after ~ <day>|<span>|#
    start|pick ~ again ~ on|in|next|after ~ <day>|<span>|#
    talk|speak|message|ask|text|remind|contact ~ me|to|you? ~ again? ~ on|in|next|after|when ~ <day>|
        <span>|back|#|holiday
    not be? available|around|home|reachable ~ until|till|next|for|from|this|tomorrow
    mute ~ for|until|till|me|this|<message>
    will|can not reply|answer|respond|have ~~ until|till|next|for|from|signal|internet ~ <span>|<day>|#|back
    will|can not be ~ available|around|here|able|home|reachable|using|doing|in ~~ until|till|next|for|from ~ <span>|<day>|#|back
    flu|covid|bug|norovirus|ill|sick|poorly|unwell|hospital|surgery|operation ~~ pause|resume|break
    no signal ~ until|till|for|next|this
    camping|abroad|travelling|traveling ~ until|till|for|next|from
    stop for ~ <span>|now|#|holiday|christmas ; restart|resume when|after
    """
)
_HELP = phrases(
    """
    how does|do this|it|the ~ work|go ; what now ; help please|me|with|needed
    need|want|some|any|get|more|please help ; can|could you|someone help
    what do|should|can|must|am i ~ do|say|type|write|send|answer|reply|put|press|supposed|tap|enter|text
    how do|should|can|to i? ~~ do|use|answer|reply|work|send|change|record|log|report|enter|type|start|
        rate|score|count|perform|hold
    do not understand|get ; not understand|sure|know what|how ~ to|you|i|do|mean|this|works|answer|type
    no idea what|how ~ to|this|you|i|do
    what do you|they mean|want|need ; what does ~~ mean|this|that
    what is this|it|that for|about|mean|question|number|scale
    what is my|the|today's|tonight's|tomorrow's ~ question|exercise|exercises|dose|plan|programme|scale|
        set|hold
    what is ~ isometric|eccentric|lowering|set|hold
    what are|is ~ exercises|exercise|commands|options|instructions
    which exercise|exercises|one|hold ~ today|do|now|tonight|am|should
    instructions|instruction|commands|explain ; confused ~ about|by|what|how|this|with ; i am confused
    who are|is you|this
    are you a|real|human|bot|there|person ; remind me how|what|of
    show|tell|send|give me ~ how|the|what|my|exercise|instructions|again|commands|options
    what was|is the ~ question|exercise|dose|plan|scale ; what question
    what numbers|number ~ mean|do|should|you
    how many|long sets|holds|reps|seconds? ~~ today|tonight|do|should|supposed|hold|each|is ; not working
    does not work
    <cannot> find|see ~ button|buttons|exercise|menu ; no buttons ; what time ~ message|ask|reminder ; huh
    """
)
_CORRECT = phrases(
    """
    change|correct|fix|edit|amend|update|alter|redo|replace|undo ~ my|the|an|that|last|previous|earlier|
        yesterday's|a ~ <answer>|said|put|one
    change|correct what i ~ <said> ; wrong number|answer|button|one|score|thing|rating|key|digit|figure
    <said>|got ~ the|a|it|pain|sets wrong
    <said> ~ by|in mistake|accident|error
    made a mistake|typo|error ~ earlier|before|answer|with|in|sorry|on|just|there|last|my?
    ignore|forget|scrap|scratch|disregard|delete|cancel ~ last|that|previous|my|earlier|first|
        what ~ message|one|<answer>|text|said|bit|entry
    that was|is ~ wrong|mistake|typo|incorrect|error
    my|earlier|last|previous ~ <answer> ~ was|is? ~ wrong|incorrect|mistake ; mistake in|with my
    meant to ~ say|put|write|type|be|send|press|answer|tap ; correction|typo|mistyped|undo
    fat finger|fingers|fingered ; not what i meant
    can|could|may|need|want|like ~ i? to? ~ change|correct|edit|amend|undo|fix ~ it|that|my|<answer>|last|
        what|yesterday|something
    let me correct|change|fix ~ that|it|my ; correct|change ~ that|it|my|pain|sets ~ to ; please change ~ to
    changing my ~ <answer> ; what i <said> ~ was|is wrong
    """
)

WISHES = {Wish.STOP: _STOP, Wish.PAUSE: _PAUSE, Wish.HELP: _HELP, Wish.CORRECT: _CORRECT}

_BARE = {
    Wish.STOP: "stop ; stopp ; unsubscribe ; quit ; cancel ; end ; exit ; stop all ; stop it ; stop this ; leave ; stop stop ; enough",
    Wish.PAUSE: "pause ; pause it ; snooze ; away ; on holiday ; holiday ; going away ; pause this ; vacation ; break ; a break ;"
    " on vacation ; pause messages ; i am away ; i am on holiday ; time out",
    Wish.HELP: "help ; ? ; what ; what ? ; help ? ; info ; menu ; how ; how ? ; instructions ; huh ? ; eh ? ; help help ; commands ;"
    " what is this ? ; why ? ; options ; which one ? ; pardon ? ; sorry ? ; explain",
    Wish.CORRECT: "change ; change answer ; change my answer ; wrong ; undo ; oops ; whoops ; correct ; correction ; edit ;"
    " wrong number ; typo ; mistake ; oops wrong ; change it",
}
BARE_WISHES = {text: wish for wish, texts in _BARE.items() for text in phrases(texts)}
POLITE = frozenset("please now thanks thank you ! . , ok just hi hello bot hey xx x".split())

CONDITION = phrases(
    """
    if|unless i want|wanted|go|went|am|need|needed|decide|decided|ever|should|have|had|get|got|were|leave|left|stop|quit|pause|miss
    if|unless the|they|he|she|this|that|there ; if|unless it stop|stops|ends|gets|goes|does|hurts|flares|carries|is_not|keeps
    if|unless you stop|stopped|pause|paused|do|did ; whether ; what happens if|when
    """
)
TOLD = phrases(
    """
    had|having|needed|forced|meant to ; was|were|been ; was|were|been just|only|also|still ; used to ; nearly|almost
    """
)
THROUGH = frozenset("ever want you to please just i like need going be think really even me sure wish".split())
