"""What takes a sign of danger back in English: a denial, somebody else, long ago, a harmless cause that has passed."""

from core.answers.english.circumstances import NEAR_FAINT
from core.answers.lexicon import phrases
from core.answers.scope import Scope


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_SIGN_NOUNS = "swelling numbness tingling weakness fever redness pins needles breathlessness chills symptom symptoms pain"

_BODY = (
    "chest heart arm arms hand hands finger fingers fingertips thumb thumbs wrist wrists elbow elbows forearm forearms"
    " shoulder shoulders face mouth lip lips tongue throat neck back leg legs foot feet side sides joint joints muscle"
    " muscles tendon tendons skin grip strength bone bones eye eyes vision speech ribs breath breathing fingertip pinky"
    " bicep biceps knuckle knuckles palm body hip hips knee knees ankle jaw vein veins bruise scar wound cut pulse"
)

SIGN_ADJECTIVES = _set(
    "numb tingly weak weaker swollen puffy locked stuck red hot dead blue white infected inflamed faint breathless"
)

SCOPE = Scope(
    no=_set("no denies denied without zero nor neither free never nil"),
    not_=_set("not never nothing none stopped"),
    until_now=_set("before till until"),
    through_no=_set(
        "thoughts thought feelings any real new more sign signs of sense a the such kind type other at all hint trace feeling chest actual longer"
        " obvious visible further recent additional significant in my arm hand elbow fingers " + _SIGN_NOUNS
    ),
    through_not=_set(
        "any real really actually a an the such of sign signs at all have has had been got get getting feel feeling felt"
        " having experienced experiencing noticed seen seem be being even anything like gone going go went is are was it in"
        " my i hear heard notice see think thought exactly ever longer remotely that more suffered suffering elbow arm"
        " hand fingers myself other there yet to " + _SIGN_NOUNS
    ),
    only_after={
        "to": _set("going want wanting trying about"),
        **dict.fromkeys(("it", "there", "that"), _set("think thought feel like")),
        **dict.fromkeys(("i", "is", "are", "was"), _set("think thought it there that nothing")),
        "my": _set("in of on down"),
        **dict.fromkeys(("arm", "hand", "elbow", "fingers"), _set("my in the of")),
    },
    sign_nouns=_set(_SIGN_NOUNS),
    list_words=_set("or nor"),
    and_=_set("and &"),
    others=_set(
        "mum mom mother mums dad dads father wife husband son daughter brother sister friend friends mate neighbour"
        " neighbor neighbours colleague boss partner girlfriend boyfriend gran nan grandma grandad grandpa granny"
        " grandmother grandfather uncle aunt auntie aunty cousin nephew niece client patient patients customer kid kids"
        " child baby toddler dog cat horse he she they his her their hubby missus bloke lady man woman guy pal workmate"
        " teammate coach teacher someone somebody pupil student actor character flatmate twins passenger stranger lad lass lads boy girl bairn teenager tenant landlord plumber builder postman"
        " grandson granddaughter grandkids grandchild hubbie granddad housemate roommate fella puppy kitten hamster rabbit cow sheep pony"
        " parrot hen chicken player striker goalie singer king queen tutor manager apprentice nanna nannan papa mam ma'am"
    ),
    others_and=_set("sick ill poorly fell died old lame tired unwell"),
    others_do=_set(
        "is was has had have having got gets with who been nearly almost just recently went fell broke died might may in"
        " hand hands arm arms finger fingers face chest leg elbow wrist heart collapsed also still now may suddenly keeps"
    ),
    through_other=_set(
        "is was has had been a an the having got gets with of in who still just keeps went into hospital died after"
        " nearly almost now also law to recently suddenly yesterday today may might have be actually badly his her their"
        " own he she best old next door at work bad really fell broke on one sick ill poorly off school home bed taken"
        " rushed poor dear two other year very hand arm elbow fingers finger face chest leg from new"
    ),
    turns=_set(
        "i me my myself we us our says said say saying thinks think reckons noticed noticing saw told tells asked hit"
        " kicked knocked dropped pushed pulled threw landed jumped stood trod punched slammed hugged and but so because then"
        " when while whilst if which that though although since as or who's after before"
    ),
    says=_set("says say thinks think reckons"),
    nominative=_set("he she"),
    body=_set(_BODY),
    owners=_set(
        "his her their has had have having got gets with of in on a an the from broke broken breaks cut hurt injured"
        " sprained fractured dislocated other bad down own is has"
    ),
    theirs=_set("his her their"),
    sides=_set("left right other whole poor bad sore upper lower"),
    me=_set("i me my myself mine"),
    us=_set("i we us our me"),
    no_thing=_set(
        "it its everything anything something nothing all thing one ones this these those that"
        " everyone nobody life world head mind mood spot area bit part lot rest bump swelling pain ache"
    ),
    determiners=_set("my the a an our his her their your this that these best old poor dear me"),
    openers=_set("and but because so since when as while sorry today tonight then ) also though ( - : cos"),
    about=_set("about on"),
    topics=_set(
        "film movie book programme documentary leaflet article course show telly news advert lecture"
        " training podcast poster story novel drama charity"
    ),
    gone=phrases(
        """
        has|have|is|are|had|all|now|since|completely|soon gone|stopped|cleared|disappeared|settled|passed|resolved|vanished|faded
        gone|stopped $ ; gone completely|now|altogether|today ; goes|went|gone away ; went|gone|going down $ ; cleared up? ; is down
        disappeared|settled|resolved|faded|subsided ; no more|longer ; has|have|is|are|been all? much? better ; passed off
        wore|worn off ; ?|:|- no|none|nope|nah ; no .|, ; none .|, ; is history ; stopped now|straight|after|days
        """
    ),
    not_gone=_set("not never hardly again back almost nearly partly half"),
    long_ago=phrases(
        """
        # years|yrs|months|decades ago ; in my teens ; as a student|boy|girl ; in|since|from|of|back <year> ; back in <year>|my ; years|months|ages ago ; last year|summer|winter|month|christmas ; used to
        as a kid|child|teenager ; when i was ; long ago|time ; in my past|twenties|thirties ; a few|couple years|months ago
        before this|all started ; before the|this? programme|treatment ; back when ; in the past ; previous|previously
        """
    ),
    present=_set("like now today tonight but again still since started starting back just worse this"),
    what_if=phrases("what if ; if i|it|my ever ; if i|it should ; in case ; should it|i get|go ; what to|do|should ~ if|when"),
    causes=phrases(
        """
    slept|sleeping|lying|lay|laid|leant|leaning|leaned|sat|sitting|laying|lent|knelt|kneeling ~ on|funny|awkwardly|wrong|weird|badly|against|it|them
    funny bone
    from|with cold ; from|after|with ~ kneeling|sitting|leaning|squatting|crouching|crossing|crossed|kneel ; kneeling|crouching|squatting
    cut ~ finger|thumb|hand|fingertip ~ on|with|slicing|chopping|peeling|cooking|opening|making ; in the? cold|snow|wind|frost ; on|with ~ iron|oven|kettle|hob|pan|tray|toaster ; lightly|gently ; woke|woken up? with ~ dead|numb|asleep|funny ; paper cut ; plaster on ~ it
    from|after ~ cold|bike|cycling|sleeping|leaning|snow|frost|freezer|ice|carrying|lying|handlebars|motorbike|ride
    from|after|using ~ vibration|strimmer|drill|drilling|mower|mowing|sander|sanding|sander|holding|washing|swim|swimming|bath
    holding ~ phone|book|baby|bag ; carrying ~ shopping|bags|bag
    tight ~ sleeve|strap|band|cuff|watch|bandage|brace|gloves
    ice pack ; ice|icing|snow|snowball|freezer|gloves|nettles|nettle|cycling
    cold ~ hands|weather|outside|water|day|wind|walk|morning|out
    bike ride ; crossed legs ; awkward position ; head on ~ arm|hand
    because ~ slept|lay|leaned|cold|sat|leant
    strap|watch|band|bandage|brace ~ too? tight ; <little>|wife|husband ~ on|asleep ~ arm|hand|it
    asleep on ~ arm|hand|it
    blood pressure cuff ; blood test ; trapped under ; under my ~ pillow|head
    wasp|bee|mosquito|midge|insect|gnat|horsefly ~ bite|sting|bit|stung
    hot ~ bath|shower|day|yoga 
    digging|hands ~ freezer|snow ; knock on|door
    banged|bumped|knocked|caught|hit ~ on|against ~ door|table|desk|cupboard|shelf|wall|counter|frame|corner
    snowball|snowballs ; banged|bumped|knocked|caught ~ on|against ~ fridge|drawer|doorframe|oven|gate|bed
        """
    ),
    passed=phrases(
        """
    is|all|am|are|now|feels|back|totally|perfectly|completely|absolutely|was|but|its|felt fine|ok|normal|gone|alright|right_again
    fine|ok|normal|good|gone|alright now|again|after|since|today|by|in|within|once|straight ; back to normal
    but ok|fine ; fine
    for a|few|couple|#|half ~ second|seconds|minute|minutes|min|mins|moment|sec|secs|bit
    went|wore|gone away|off|quickly|straight
    passed|quickly|gone|settled|disappeared|stopped|cleared ; shook it off|out ; better now
    came back ~ normal|feeling|minutes|quickly
    lasted ~ a|seconds|minute|minutes|moment|few|second ; cleared|wore|passed off|up|after|in
    no problem|problems|harm|issue|issues
    once i moved|got|shook|warmed ; nothing now|since ; soon fine|ok|gone|passed|went ; normal again|now
    warmed ~ up ; thawed ; warm again|now
        came right ; straight up
    pink again ; right again
        """
    ),
    gone_to=_set("gone went goes going"),
    after_gone=_set(
        "now away off completely altogether today tonight since again and but so after by within in as thanks though tho"
        " already entirely totally mostly when once with because overnight straight quickly just soon before then ) - which :"
        " x xx lol all for"
    ),
    because_it_hurts=phrases(
        """
        because|as|since ~~ <hurt> ; because|as of the? pain ; from|with|due_to|down_to|through the? pain|soreness|ache ; too|so painful|sore ~ to?
        <hurt> ~ to ~ grip|hold|lift|open|turn|pick|carry|use|squeeze|wring|pour|make|grasp|pinch|twist|undo|do|move|straighten ; painful grip
        <hurt> ~ when|if|whenever ~~ grip|hold|lift|open|turn|pick|carry|use|squeeze|wring|pour|gripping|lifting|holding|do ; <hurt> too much
        <hurt> so much|bad|badly ; pain stops|stopped|makes|made|means|meant ; that|it is when it <hurt> ; only when ~ <hurt>
        weak ~ and painful|sore ; painful|sore and ~ weak ; <hurt> ~ so ~~ <cannot>|drop|dropped|dropping|weak ; for|with pain ; only weak ~~ <hurt>
        """
    ),
    on_waking=phrases(
        """
        in the|a morning|mornings ; first thing ; every|each|most morning|mornings ; on|after|when ~ waking|wake|woke|woken|get_up|getting_up|got_up
        until|till|then|but ~~ warm|warms|warmed|loosens|loosen|loosened|eases|eased|frees|freed ~ up|off|out? ; morning stiffness
        stiff|stiffness ~~ morning|mornings|waking|wake|woke ; loosens|loosened|eases|eased|wears|wore|frees|freed|warms|warmed up|off|out
        """
    ),
    unhurt=phrases(
        """
        elbow|arm|forearm|wrist|hand|joint|it|everything|i is|was|am|feels|felt|seems|looks|are totally|still|all|perfectly|completely|just|absolutely? ok|okay|fine|good|alright|right|unhurt|unharmed|intact|no_worse
        elbow|arm|forearm|it ~ not|never|did_not|was_not ~ hurt|hit|touched|affected|injured|involved ; elbow|arm|i ok|okay|fine|alright|unhurt|unharmed
        not|did_not|never|without ~ hit|hurt|hurting|hitting|touch|bang|knock|land_on ~ elbow|arm|it ; nothing|not ~ to do ~ with ~ elbow|arm ; no harm|damage
        """
    ),
    near_faint=NEAR_FAINT,
    other_place=phrases("in|into|for|of ~~ <elsewhere>|eye|eyes|gum|mouth|spine|bum|shoulder|trigger ; <elsewhere> injection|jab|shot"),
    otherwise=_set("otherwise else rest apart everything not never but"),
)
