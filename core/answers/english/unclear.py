"""Words that try to answer and leave it open."""

from core.answers.lexicon import Says, phrases

_RANGE = phrases(
    """
    am a? # ,? pm a? # ; # am|pm ,? # am|pm ; # before|first ,? # after|afterwards|later
    before # ,? after # ; # - # ; # to a? # ; # or a? maybe? even? a? #
    between a? # and|to|or|- a? # ; # maybe|perhaps|possibly even? a? #
    # , maybe|perhaps|possibly|or even? a? # ; # bordering|verging|going on a? # ; # if not a? #
    # nearly|almost a? # ; from a? # to a? # ; # through to? # ; # up to a? # ; # till|until a? # ; # < #
    # - # before|first ,? # after|afterwards|later ; before # ,? after # ; # - # ; somewhere between # and #
    either # or # ; # rising|going|creeping|climbing|up|down to a? #
    """
)

_BOUND = phrases(
    """
    less|more|lower|higher|worse|better|greater|bigger|fewer than|then a? #
    over|under|above|below|beyond a? # ; just|bit|little|slightly|well over|under|above|below a? #
    at|the least|most|worst|best a? # ; up to a? #
    # or more|less|so|above|below|higher|under|over|thereabouts|something|lower|fewer
    # max|maximum|min|minimum|tops|plus ; max|maximum|min|minimum|minimally of? a? # ; # + ; + # ; < # ; > #
    <= # ; >= # ; nearly|almost|approaching a? # ; no|not more|less|higher|lower|worse than a? #
    not quite a? # ; close|near to? a? # ; # and a bit|little|third|quarter
    # at least|most|the|a least|most|max ; # ~ or ~ more ; upwards of # ; low|high # s|'s
    a bit|little|touch more|less|under|over than? a? # ; # and up|over|under|above|below|rising ; not even #
    minus # ; rather more|less than # ; # point something ; could be a? # or
    million|thousand|billion|zillion out of #
    """
)

_PERCENT = phrases(
    """
    # % ; # percent|pc|percentage ; # per cent ; fifty fifty ; 100 percent
    """
)

_COMPARED = phrases(
    """
    same ; the same ; same again|here|thing|number|score|pain|level ; same as|like ~ <usual> ; same old
    ditto ; as|like <usual> ; as usual|always|before|normal|ever
    # ~ <more> than|then|from|on ~ <usual>|<day> ; # points? <more>
    # points? <more> than|from|on ~ <usual>|<day> ; <more> by a? # ; <more> a? # points? from ~ <usual>
    <more> than|then ~ <usual>|<day> ; no <more>|different|change ; unchanged ; not <more>|different|changed
    pain less|more|worse|better than|then ~ <usual>|<day> ; bit|little|slightly|lot|much|far|way|loads|even <more> ; better ; worse ; improved ; improving ; usual
    the usual ; double|twice|half|triple ~ yesterday
    down|up a|by|from ~ point|bit|little|lot|notch|yesterday|couple ; <more> like yesterday
    compared|similar to|with ~ yesterday|usual|before ; similar ; similar to yesterday|before|usual
    as bad|good|much as ~ <usual> ; same as|like|before|then ; like yesterday ; as yesterday ; less ; higher
    lower ; one|1 <more> than ~ <usual> ; change from yesterday|before ; went up|down ; gone up|down
    going up|down
    """
)

_VAGUE_PAIN = phrases(
    """
    hardly|barely|almost|nearly|virtually|practically|scarcely no|any? pain|discomfort
    not|nothing much|bad|great|terrible
    not too|so|very|that|really|particularly bad|good|great|painful|sore|much ; not much pain|discomfort
    no real|major|serious|big|bad|significant|extra|more|new|other|additional|severe|huge|lasting|sharp|
        great|worse pain|discomfort
    little|mild|moderate|bad|severe|awful|terrible|horrible|slight|minor|some|lots|more|less|much|any|
        tiny|constant pain|discomfort
    a|the little|bit|lot|mild|slight|dull|minor of? pain|discomfort|ache ; low ; high ; medium ; middling
    manageable ; bearable ; meh ; so so ; alright ; fine ; bad ; awful ; terrible ; horrible ; mild
    moderate ; severe ; unbearable ; excruciating
    quite|very|really|pretty|bit|little|slightly sore|painful|achy|tender|bad|stiff|high|low ; stiff
    tender ; rough ; grim ; not good|great ; nagging ; niggly ; niggle ; twinge ; comfortable ; tolerable
    no idea ; not sure ; do not know ; hard to say ; agony ; killing me ; pain gone|is gone
    through the roof ; no pain at rest|first|night|present|work|home
    no pain when|while|during|until|till|after|before|except|apart|if
    no pain yesterday|earlier|last|this|unless|otherwise|mostly|initially|usually|now
    did not hurt|ache until|when|much|as|too ; does not hurt|ache until|when|unless|much|as|too|if|at
    no pain killers ; pain free until|when|at|except|apart|during|now ; some ; pain ; without pain
    did ~ without pain ; no pain during|from|with|doing the|my|them|it? <set>?
    """
)

_VAGUE_SETS = phrases(
    """
    most ; most of them|it|the|my|those ~ <set>? ; some ; some of them|it|the|my ~ <set>? ; a few ; few
    a couple ; couple ; several ; a bit ; part of it|them|the ; bits ; loads ; lots ; plenty ; not many
    not all|everything ; not all of? them|it|the ~ <set>?
    did not do|finish|complete|manage|get ~ all|everything|them|it all
    did not|could not finish|complete ~ <set>|them|it ; not quite all|everything|done
    as many|much as ~ could|can
    almost|nearly|practically|virtually|about|just_about all|everything|done|there|finished|half
    pretty much|well all|everything|done ; almost|nearly all of? them|it|the|my|done|finished ~ <set>?
    what|whatever i could|can|managed ; my best ; half ish
    about|roughly|around|over|under|maybe|nearly|almost|approx half ; more|less than half ; a third|quarter
    two thirds ; three quarters ; bit of|more ; a few of them|the|my ~ <set>? ; not yet ; have not ~ yet
    have not done|started|finished ~ yet ; did not do ~ yet ; later ; will do ; am going to do
    still have to|need ; half way ; halfway ; partly ; partially ; majority ; the majority ; tried ; started
    doing them|it ~ now|later|soon|tonight ; going to do|try ; will ~ later|tomorrow|tonight|soon
    got through some|most ; multiple ; enough ; not enough ; too many ; more than enough ; not as many
    only some|half of ; more or less ; did too much ; one or two ; # or so ; at least|most half|some|one
    a handful ; handful ; odd one|set ; about to
    """
)

_DECIDES = phrases(
    """
    ok ; lets|let_us say|go|call ; lets|let_us go with|for ; call it a? ; go|going with|for ; say ; probably
    more like ; definitely ; settle on
    """
)

SAYS = {
    Says.RANGE: _RANGE,
    Says.BOUND: _BOUND,
    Says.PERCENT: _PERCENT,
    Says.COMPARED: _COMPARED,
    Says.VAGUE_PAIN: _VAGUE_PAIN,
    Says.VAGUE_SETS: _VAGUE_SETS,
    Says.DECIDES: _DECIDES,
}
